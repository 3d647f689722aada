import { GRADES } from '../../judge/grade.js';
import type { GaugeChart, Grade, RunChart } from '../../chart/types.js';

/** True for a grade that someone may plan with, cautions in hand. */
export function isUsable(grade: Grade): boolean {
  return GRADES.indexOf(grade) >= GRADES.indexOf('rough guide');
}

/** A run's gauges, best grade first, then best skill on floods left out (the better of both readings); ties stay in file order. */
export function gaugesBestFirst(run: RunChart): readonly GaugeChart[] {
  return [...run.gauges].sort(
    (a, b) => GRADES.indexOf(b.trust.grade) - GRADES.indexOf(a.trust.grade) || compareSkill(bestSkill(b), bestSkill(a)),
  );
}

function bestSkill({ trust }: GaugeChart): number {
  return Math.max(
    trust.skill.effective?.againstFrequencies ?? -Infinity,
    trust.skill.oneReading?.againstFrequencies ?? -Infinity,
  );
}

/** Infinity minus infinity is NaN, and a comparator must not return it. */
function compareSkill(a: number, b: number): number {
  return a === b ? 0 : a - b;
}

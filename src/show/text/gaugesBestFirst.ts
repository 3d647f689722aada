import { bestFirst } from '../../chart/bestFirst.js';
import type { GaugeChart, RunChart } from '../../chart/types.js';

export { isUsableGrade as isUsable } from '../../judge/grade.js';

/** A run's gauges, best grade first, then best skill on floods left out (the better of both readings); ties stay in file order. */
export function gaugesBestFirst(run: RunChart): readonly GaugeChart[] {
  return bestFirst(run.gauges);
}

import type { Measured } from './floodRatios.js';
import type { Judgement, Way } from './judgement.js';
import type { SkillEstimate, TrustSummary } from './types.js';

/** The short form of a judgement that a chart carries: the same grade, reasons, checks and skill. */
export function trustOfJudgement({ grade, reasons, checks, evidence, scores }: Judgement): TrustSummary {
  const skillOfWay = (way: Way): SkillEstimate | null => {
    const skill = scores?.ways.find((score) => score.way === way)?.skill;
    return skill === undefined ? null : estimateOf(skill.againstFrequencies, skill.againstMonth);
  };
  return Object.freeze({
    grade,
    reasons,
    visits: evidence.visits,
    floods: evidence.floods,
    firstVisitMs: evidence.firstVisitMs,
    lastVisitMs: evidence.lastVisitMs,
    classCounts: evidence.classCounts,
    skill: Object.freeze({ effective: skillOfWay('effective'), oneReading: skillOfWay('one-reading') }),
    checks,
    approvedShare: evidence.approvedShare,
  });
}

function estimateOf(frequencies: Measured, month: Measured): SkillEstimate | null {
  if (frequencies.value === null || month.value === null) return null;
  return Object.freeze({
    againstFrequencies: frequencies.value,
    againstFrequencies80: frequencies.i80,
    againstMonth: month.value,
    againstMonth80: month.i80,
  });
}

import type { Judgement } from './judgement.js';
import type { TrustSummary } from './types.js';

/** The short form of a judgement that a chart carries: the same grade, reasons, checks, evidence and skill. */
export function trustOfJudgement({ way, grade, reasons, checks, evidence, scores, depth }: Judgement): TrustSummary {
  const skill = scores?.ways.find((score) => score.way === way)?.skill ?? null;
  return {
    way,
    grade,
    depth,
    reasons,
    checks,
    evidence,
    skill: skill && { againstFrequencies: skill.againstFrequencies, againstMonth: skill.againstMonth },
  };
}

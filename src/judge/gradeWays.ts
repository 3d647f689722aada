import type { Aligned } from '../align/types.js';
import { evidenceOf } from './evidence.js';
import { gradeRelation, type GradeOfRelation } from './grade.js';
import { lagWorthInClasses } from './lagWorth.js';
import type { GradeInput } from './trustRules.js';
import { chosenWay, type WaysOfReading } from './waysOfReading.js';

/**
 * The grade of a run against one gauge by the way it is read: from evidence and skill on floods left out.
 *
 * @param aligned the visits that the ways were fitted to.
 * @param options.statusSentence said first where nothing could be fitted.
 * @param options.againstSeason, options.lagSign left away where they were not asked. `personMove`: largest move of an edge without one
 *   person, where fits told it.
 */
export function gradeWays(
  aligned: Aligned,
  {
    ways,
    statusSentence,
    ...asked
  }: { ways: WaysOfReading; statusSentence?: string } & Pick<GradeInput, 'againstSeason' | 'lagSign' | 'personMove'>,
): GradeOfRelation {
  const chosen = chosenWay(ways);
  const { grade, reasons, checks } = gradeRelation({
    evidence: evidenceOf(aligned),
    skill: chosen?.skill ?? null,
    undependableShare: chosen?.left.undependableShare ?? 0,
    unmatchedShare: chosen?.left.unmatchedShare ?? 0,
    lagWorth: chosen === null ? NaN : lagWorthInClasses(chosen.fit, aligned),
    ...asked,
  });
  const noFit = chosen === null && statusSentence !== undefined;
  return { grade, checks, reasons: noFit ? [statusSentence, ...reasons] : reasons };
}

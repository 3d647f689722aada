import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { splitSeed } from '../kernel/random.js';
import { evidenceOf } from './evidence.js';
import { gradeRelation } from './grade.js';
import { lagWorthInClasses } from './lagWorth.js';
import { leaveFloodOut } from './leaveFloodOut.js';
import type { LeftOut } from './leaveFloodOut.js';
import { skillOf } from './skill.js';
import type { TrustSummary } from './types.js';

/**
 * The first judgement of a run against one gauge: evidence, skill of both ways of reading with floods left out, grade with reasons and checks.
 *
 * The grade is that of the better way of reading (by skill against the logged frequencies; the effective one on a tie).
 *
 * @param aligned the visits that both fits were made from.
 * @param options.effective, options.oneReading the fits; leave out one that was not made. One without draws counts as not made.
 * @param options.approval counts of readings by approval state; the share is null where no file says.
 * @param options.seed seed of the resampling of floods.
 * @returns always a summary; without any draws "too thin" with the fits' own status sentence.
 */
export function trustSummary(
  aligned: Aligned,
  {
    effective,
    oneReading,
    approval,
    seed,
  }: {
    effective?: LevelFit;
    oneReading?: LevelFit;
    approval?: { readonly approved: number; readonly provisional: number; readonly unknown: number };
    seed: number;
  },
): TrustSummary {
  const evidence = evidenceOf(aligned);
  const judged = (fit: LevelFit | undefined) => {
    if (fit === undefined || !(fit.draws.count > 0)) return null;
    const left: LeftOut = leaveFloodOut(fit, aligned);
    // Both ways are resampled with the same floods, so that their difference is not drawn by lot.
    const skill = skillOf(left, { seed: splitSeed(seed, 'floods') });
    return skill === null ? null : { fit, left, skill };
  };
  const ways = { effective: judged(effective), oneReading: judged(oneReading) };
  const e = ways.effective;
  const o = ways.oneReading;
  const best = e !== null && (o === null || e.skill.againstFrequencies >= o.skill.againstFrequencies) ? e : o;
  const { grade, reasons, checks } = gradeRelation({
    evidence,
    skill: best?.skill ?? null,
    undependableShare: best?.left.undependableShare ?? 0,
    unmatchedShare: best?.left.unmatchedShare ?? 0,
    lagWorth: best === null ? NaN : lagWorthInClasses(best.fit, aligned),
  });
  const noFit = best === null ? (effective ?? oneReading)?.statusSentence : undefined;
  return Object.freeze({
    grade,
    reasons: noFit === undefined ? reasons : Object.freeze([noFit, ...reasons]),
    visits: evidence.visits,
    floods: evidence.floods,
    firstVisitMs: evidence.firstVisitMs,
    lastVisitMs: evidence.lastVisitMs,
    classCounts: evidence.classCounts,
    skill: Object.freeze({ effective: e?.skill ?? null, oneReading: o?.skill ?? null }),
    checks,
    approvedShare: approvedShare(approval),
  });
}

function approvedShare(
  approval: { readonly approved: number; readonly provisional: number; readonly unknown: number } | undefined,
): number | null {
  if (approval === undefined) return null;
  const known = approval.approved + approval.provisional;
  return known > 0 ? approval.approved / (known + approval.unknown) : null;
}

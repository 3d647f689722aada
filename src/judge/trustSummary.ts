import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { evidenceOf } from './evidence.js';
import { gradeRelation } from './grade.js';
import { lagWorthInClasses } from './lagWorth.js';
import type { TrustSummary } from './types.js';
import { bestWay, waysOfReading, type WaysOfReading } from './waysOfReading.js';

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
    approval?: Approval;
    seed: number;
  },
): TrustSummary {
  const ways = waysOfReading(aligned, { effective, oneReading, seed });
  return summaryOfWays(aligned, { ways, approval, statusSentence: (effective ?? oneReading)?.statusSentence });
}

/** The same from ways of reading that are scored already. */
export function summaryOfWays(
  aligned: Aligned,
  {
    ways,
    approval,
    statusSentence,
  }: {
    ways: WaysOfReading;
    approval?: Approval | undefined;
    /** Said first where nothing could be fitted. */
    statusSentence?: string | undefined;
  },
): TrustSummary {
  const evidence = evidenceOf(aligned);
  const best = bestWay(ways);
  const { grade, reasons, checks } = gradeRelation({
    evidence,
    skill: best?.skill ?? null,
    undependableShare: best?.left.undependableShare ?? 0,
    unmatchedShare: best?.left.unmatchedShare ?? 0,
    lagWorth: best === null ? NaN : lagWorthInClasses(best.fit, aligned),
  });
  const noFit = best === null ? statusSentence : undefined;
  return Object.freeze({
    grade,
    reasons: noFit === undefined ? reasons : Object.freeze([noFit, ...reasons]),
    visits: evidence.visits,
    floods: evidence.floods,
    firstVisitMs: evidence.firstVisitMs,
    lastVisitMs: evidence.lastVisitMs,
    classCounts: evidence.classCounts,
    skill: Object.freeze({ effective: ways.effective?.skill ?? null, oneReading: ways.oneReading?.skill ?? null }),
    checks,
    approvedShare: approvedShare(approval),
  });
}

interface Approval {
  readonly approved: number;
  readonly provisional: number;
  readonly unknown: number;
}

/** Share of the readings approved by the agency; null where no file says. */
export function approvedShare(approval: Approval | undefined): number | null {
  if (approval === undefined) return null;
  const known = approval.approved + approval.provisional;
  return known > 0 ? approval.approved / (known + approval.unknown) : null;
}

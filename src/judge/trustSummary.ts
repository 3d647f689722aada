import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { evidenceOf } from './evidence.js';
import { gradeRelation } from './grade.js';
import { createMemory } from '../kernel/createMemory.js';
import { splitSeed } from '../kernel/random.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { lagSignOf } from './lagSign.js';
import { lagWorthInClasses } from './lagWorth.js';
import { skillAgainstSeason, type SeasonSkill } from './skillAgainstSeason.js';
import { THRESHOLDS } from './thresholds.js';
import type { TrustSummary } from './types.js';
import { bestWay, waysOfReading, type WayOfReading, type WaysOfReading } from './waysOfReading.js';

/**
 * The first judgement of a run against one gauge: evidence, skill of both ways of reading with floods left out, grade with reasons and checks.
 *
 * The grade is that of the better way of reading (by skill against the logged frequencies; the effective one on a tie).
 *
 * @param aligned the visits that both fits were made from.
 * @param options.effective, options.oneReading the fits; leave out one that was not made. One without draws counts as not made.
 * @param options.approval counts of readings by approval state; the share is null where no file says.
 * @param options.record the gauge's record: then the gauge must know more than its own season, and the sign of the lag is looked at; without it
 *   neither is asked. options.anyLag the fit with lags of both signs, for the latter.
 * @param options.seed seed of the resampling of floods.
 * @returns always a summary; without any draws "too thin" with the fits' own status sentence.
 */
export function trustSummary(
  aligned: Aligned,
  {
    effective,
    oneReading,
    anyLag,
    record,
    approval,
    seed,
  }: {
    effective?: LevelFit;
    oneReading?: LevelFit;
    anyLag?: LevelFit;
    record?: GaugeRecord;
    approval?: Approval;
    seed: number;
  },
): TrustSummary {
  const ways = waysOfReading(aligned, { effective, oneReading, seed });
  return summaryOfWays(aligned, {
    ways,
    approval,
    statusSentence: (effective ?? oneReading)?.statusSentence,
    beyond: record === undefined ? undefined : { record, anyLag, seed },
  });
}

/** The same from ways of reading that are scored already. */
export function summaryOfWays(
  aligned: Aligned,
  {
    ways,
    approval,
    statusSentence,
    beyond,
  }: {
    ways: WaysOfReading;
    approval?: Approval | undefined;
    /** Said first where nothing could be fitted. */
    statusSentence?: string | undefined;
    /** What the skill against the season and the sign of the lag are worked out from; without it they are not asked. */
    beyond?: Beyond | undefined;
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
    againstSeason: best === null || beyond === undefined ? undefined : seasonSkill(best, { aligned, ...beyond }),
    lagSign: beyond?.anyLag === undefined ? undefined : lagSignOf(beyond.anyLag, beyond),
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

interface Beyond {
  readonly record: GaugeRecord;
  readonly anyLag?: LevelFit | undefined;
  readonly seed: number;
}

/** The same is asked for the first chart of a relation and again where it is judged. */
const seasonSkills = createMemory<SeasonSkill | null>();

/** Two fits more, so it is asked only of gauges that pass the other checks of skill. */
function seasonSkill(
  { fit, skill }: WayOfReading,
  { aligned, record, seed }: Beyond & { aligned: Aligned },
): SeasonSkill | null | undefined {
  const passes =
    skill.againstFrequencies >= THRESHOLDS.skillRough &&
    (skill.againstFrequencies80[0] ?? -Infinity) > THRESHOLDS.skillLow &&
    (skill.againstMonth80[0] ?? -Infinity) > THRESHOLDS.skillLow;
  if (!passes) return undefined;
  return seasonSkills([fit, aligned, record], String(seed), () =>
    skillAgainstSeason({ fit, aligned }, { record, seed: splitSeed(seed, 'season') }),
  );
}

interface Approval {
  readonly approved: number;
  readonly provisional: number;
  readonly unknown: number;
}

/** Share of the readings approved by the agency; null where nothing is said of most of them. */
export function approvedShare(approval: Approval | undefined): number | null {
  if (approval === undefined) return null;
  const known = approval.approved + approval.provisional;
  return known > approval.unknown ? approval.approved / (known + approval.unknown) : null;
}

import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { createMemory } from '../kernel/createMemory.js';
import { splitSeed } from '../kernel/random.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { evidenceOf } from './evidence.js';
import { gradeRelation, type GradeOfRelation } from './grade.js';
import { lagSignOf } from './lagSign.js';
import { lagWorthInClasses } from './lagWorth.js';
import { skillAgainstSeason, type SeasonSkill } from './skillAgainstSeason.js';
import { THRESHOLDS } from './thresholds.js';
import { chosenWay, type WayOfReading, type WaysOfReading } from './waysOfReading.js';

/**
 * The grade of a run against one gauge by the way it is read: from evidence and skill on floods left out.
 *
 * @param aligned the visits that the ways were fitted to.
 * @param options.record the gauge's record: then the gauge must know more than its own season, and the sign of the lag is looked at; without it
 *   neither is asked. `anyLag`: the fit with lags of both signs, for the latter.
 * @param options.personMove largest move of an edge without one person, where fits told it. @param options.statusSentence said first where nothing could be fitted.
 */
export function gradeWays(
  aligned: Aligned,
  {
    ways,
    statusSentence,
    beyond,
    personMove,
  }: {
    personMove?: number | undefined;
    ways: WaysOfReading;
    statusSentence?: string | undefined;
    beyond?: Beyond | undefined;
  },
): GradeOfRelation {
  const chosen = chosenWay(ways);
  const { grade, reasons, checks } = gradeRelation({
    evidence: evidenceOf(aligned),
    skill: chosen?.skill ?? null,
    undependableShare: chosen?.left.undependableShare ?? 0,
    unmatchedShare: chosen?.left.unmatchedShare ?? 0,
    lagWorth: chosen === null ? NaN : lagWorthInClasses(chosen.fit, aligned),
    againstSeason: chosen === null || beyond === undefined ? undefined : seasonSkill(chosen, { aligned, ...beyond }),
    personMove,
    lagSign: beyond?.anyLag === undefined ? undefined : lagSignOf(beyond.anyLag, beyond),
  });
  return {
    grade,
    checks,
    reasons: chosen !== null || statusSentence === undefined ? reasons : [statusSentence, ...reasons],
  };
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
  { fit, skill: { againstFrequencies, againstMonth } }: WayOfReading,
  { aligned, record, seed }: Beyond & { aligned: Aligned },
): SeasonSkill | null | undefined {
  const passes =
    (againstFrequencies.value ?? -Infinity) >= THRESHOLDS.skillRough &&
    (againstFrequencies.i80[0] ?? -Infinity) > THRESHOLDS.skillLow &&
    (againstMonth.i80[0] ?? -Infinity) > THRESHOLDS.skillLow;
  if (!passes) return undefined;
  return seasonSkills([fit, aligned, record], String(seed), () =>
    skillAgainstSeason({ fit, aligned }, { record, seed: splitSeed(seed, 'season') }),
  );
}

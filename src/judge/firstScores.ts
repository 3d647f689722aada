import type { ReadingWay, Way } from '../fit/types.js';
import { splitSeed } from '../kernel/random.js';
import { asItStands } from './asItStands.js';
import type { LeftOut } from './leaveFloodOut.js';
import type { JudgedRelation } from './refits/types.js';
import { shiftOf, type ShiftFinding } from './shift.js';
import { skillAgainstSeason, type SeasonSkill } from './skillAgainstSeason.js';
import { THRESHOLDS } from './thresholds.js';
import { chosenWay, waysOfReading, type WayOfReading } from './waysOfReading.js';

/** What a run against one gauge scores by weights alone: the first answer stands on it, and the full judgement goes on from it. */
export interface FirstScores {
  readonly left: Readonly<Record<Way, LeftOut | null>>;
  readonly chosen: ReadingWay | null;
  /** Undefined where it was not asked. */
  readonly againstSeason: SeasonSkill | null | undefined;
  readonly shift: ShiftFinding | null;
}

/** @param options.seed of the relation's judging. */
export function firstScores(
  { record, aligned, fits }: Pick<JudgedRelation, 'record' | 'aligned' | 'fits'>,
  { seed }: { seed: number },
): FirstScores {
  const ways = waysOfReading(aligned, fits, { seed });
  const chosen = chosenWay(ways);
  const skilled = chosen !== null && passesSkill(chosen);
  return {
    left: {
      effective: ways.effective?.left ?? null,
      'one-reading': ways['one-reading']?.left ?? null,
      'as-it-stands': skilled ? asItStands({ aligned, fit: chosen.fit }, { seed, draws: STANDS_DRAWS }) : null,
    },
    chosen: ways.chosen,
    againstSeason: skilled
      ? skillAgainstSeason({ fit: chosen.fit, aligned }, { record, seed: splitSeed(seed, 'season') })
      : undefined,
    shift: chosen && shiftOf(chosen.fit, aligned),
  };
}

/** Draws of a chart that is only scored. */
const STANDS_DRAWS = 400;

/** The season and the gauge as it stands take fits of their own, so they are asked only of gauges that pass the other checks of skill. */
function passesSkill({ skill: { againstFrequencies, againstMonth } }: WayOfReading): boolean {
  return (
    (againstFrequencies.value ?? -Infinity) >= THRESHOLDS.skillRough &&
    (againstFrequencies.i80[0] ?? -Infinity) > THRESHOLDS.skillLow &&
    (againstMonth.i80[0] ?? -Infinity) > THRESHOLDS.skillLow
  );
}

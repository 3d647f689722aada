import type { Aligned } from '../align/types.js';
import type { LevelFit, ReadingWay } from '../fit/types.js';
import { splitSeed } from '../kernel/random.js';
import { floodRatios, type Measured } from './floodRatios.js';
import { leaveFloodOut, type LeftOut } from './leaveFloodOut.js';
import { floodScores, skillOf } from './skill.js';
import { THRESHOLDS } from './thresholds.js';
import type { Skill } from './types.js';

/** One way of reading the gauge with its odds for floods left out. */
export interface WayOfReading {
  readonly fit: LevelFit;
  readonly left: LeftOut;
  readonly skill: Skill;
}

/** Both ways, null where one could not be fitted, and the one that the gauge is read by. */
export interface WaysOfReading extends Readonly<Record<ReadingWay, WayOfReading | null>> {
  readonly chosen: ReadingWay | null;
  /** What the effective reading gains in skill over one reading, on the same floods; null unless both were fitted. */
  readonly gain: Measured | null;
}

/** Seed of the resampling of floods: one for all ways, so that a difference between them is not drawn by lot. */
export function floodSeed(seed: number): number {
  return splitSeed(seed, 'floods');
}

/**
 * Scores both ways of reading a gauge on floods left out, and chooses one.
 *
 * @param aligned the visits that both fits were made from.
 * @param fits leave out one that was not made; one without draws counts as not made.
 * @param options.left odds with floods left out from fits of their own; default by importance weights.
 * @param options.chosen the way that was chosen before; default `chooseWay`.
 * @param options.seed seed of the resampling of floods.
 */
export function waysOfReading(
  aligned: Aligned,
  fits: Readonly<Partial<Record<ReadingWay, LevelFit>>>,
  {
    left = {},
    chosen,
    seed,
  }: {
    left?: Readonly<Partial<Record<ReadingWay, LeftOut | null>>>;
    chosen?: ReadingWay | undefined;
    seed: number;
  },
): WaysOfReading {
  const scored = (way: ReadingWay): WayOfReading | null => {
    const fit = fits[way];
    if (fit === undefined || !(fit.draws.count > 0)) return null;
    const odds = left[way] ?? leaveFloodOut(fit, aligned);
    const skill = skillOf(odds, { seed: floodSeed(seed) });
    return skill === null ? null : { fit, left: odds, skill };
  };
  const ways = { effective: scored('effective'), 'one-reading': scored('one-reading') };
  const gain = gainOf(ways, { seed });
  const held = chosen !== undefined && ways[chosen] !== null ? chosen : undefined;
  return { ...ways, gain, chosen: held ?? chooseWay(ways, gain) };
}

/** The chosen way itself. */
export function chosenWay(ways: WaysOfReading): WayOfReading | null {
  return ways.chosen === null ? null : ways[ways.chosen];
}

/**
 * The simplest instruction that nothing clearly beats: one reading, unless the effective one gains `THRESHOLDS.clearGain` of skill and the
 * gain's own 80 % interval is above nothing. On real gauges over several seasons a smaller gain did not last.
 */
function chooseWay(ways: Readonly<Record<ReadingWay, unknown>>, gain: Measured | null): ReadingWay | null {
  if (ways['one-reading'] === null) return ways.effective === null ? null : 'effective';
  return ways.effective !== null && isClearGain(gain) ? 'effective' : 'one-reading';
}

/** Whether a gain in skill pays for arithmetic: large enough, and surely above nothing. */
export function isClearGain(gain: Measured | null): boolean {
  return (gain?.value ?? -Infinity) >= THRESHOLDS.clearGain && (gain?.i80[0] ?? -Infinity) > 0;
}

function gainOf(ways: Readonly<Record<ReadingWay, WayOfReading | null>>, { seed }: { seed: number }): Measured | null {
  const { effective, 'one-reading': one } = ways;
  return effective === null || one === null ? null : skillGain(effective.left, { over: one.left, seed });
}

/**
 * What some odds gain in skill against the logged frequencies over others for the same floods, with the interval of the difference itself.
 */
export function skillGain(left: LeftOut, { over, seed }: { over: LeftOut; seed: number }): Measured {
  const ours = floodScores(left);
  const theirs = floodScores(over);
  const of = theirs.chart.map((score, f) => score - ours.chart[f]);
  return floodRatios([{ of, from: ours.frequencies }], { floods: of.length, seed: floodSeed(seed) })[0];
}

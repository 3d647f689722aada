import { expandedTail } from '../../src/judge/skill.js';
import { quantileSorted } from '../../src/kernel/quantile.js';
import { createRandom } from '../../src/kernel/random.js';
import { rankedProbabilityScore } from '../../src/kernel/rps.js';
import type { LaterOdds } from './laterOdds.js';

/** An hour is scored where at least this share of the draws of every way of reading finds a reading, as a visit takes part in a fit. */
const LEAST_FOUND = 0.5;

const RESAMPLES = 2000;

/** Ways of reading the gauge that are scored side by side. */
export const WAYS = ['effective', 'oneReading', 'asItStands'] as const;
export type Way = (typeof WAYS)[number];

export interface LaterSkill {
  readonly hours: number;
  readonly hoursScored: number;
  readonly notScoredShare: number;
  /** Floods that the scored hours belong to. */
  readonly floods: number;
  /** 1 - ΣRPS/ΣRPS of the logged frequencies, over the hours that all ways can score; null where there is none. */
  readonly skill: Readonly<Record<Way, number>> | null;
  /** Skill of the effective reading minus that of another way, with an 80 % interval from resampling floods. */
  readonly gain: Readonly<
    Record<Exclude<Way, 'effective'>, { difference: number; i80: readonly [number, number] }>
  > | null;
}

/**
 * Ranked probability skill of each way of reading on later hours, against the frequencies of the classes in the log.
 *
 * @param odds of each way, H × K.
 * @param options.frequencies K shares of the logged verdicts. options.flood: number of each hour (H), for the intervals.
 */
export function laterSkill(
  odds: Readonly<Record<Way, LaterOdds>>,
  options: {
    readonly frequencies: Float64Array;
    readonly classIndex: Int32Array;
    readonly flood: Int32Array;
    readonly seed: number;
  },
): LaterSkill {
  const { frequencies, classIndex, flood, seed } = options;
  const H = classIndex.length;
  const K = frequencies.length;
  const scored = Array.from({ length: H }, (_, h) => h).filter((h) =>
    WAYS.every((way) => odds[way].found[h] >= LEAST_FOUND),
  );
  const slots = new Map([...new Set(scored.map((h) => flood[h]))].map((f, slot) => [f, slot]));
  const floods = slots.size;
  const counts = { hours: H, hoursScored: scored.length, notScoredShare: H === 0 ? 0 : 1 - scored.length / H, floods };
  if (floods === 0) return { ...counts, skill: null, gain: null };

  const base = new Float64Array(floods);
  const sums = { effective: base.slice(), oneReading: base.slice(), asItStands: base.slice() };
  for (const h of scored) {
    const slot = slots.get(flood[h])!;
    base[slot] += rankedProbabilityScore(frequencies, classIndex[h]);
    for (const way of WAYS)
      sums[way][slot] += rankedProbabilityScore(odds[way].odds.subarray(h * K, (h + 1) * K), classIndex[h]);
  }
  const skillOver = (way: Way, picked: Int32Array): number => {
    let ours = 0;
    let theirs = 0;
    for (const slot of picked) {
      ours += sums[way][slot];
      theirs += base[slot];
    }
    return 1 - ours / theirs;
  };
  const whole = Int32Array.from({ length: floods }, (_, slot) => slot);
  const gainOver = (way: Exclude<Way, 'effective'>) => {
    const difference = (picked: Int32Array) => skillOver('effective', picked) - skillOver(way, picked);
    const random = createRandom(seed);
    const drawn = Float64Array.from({ length: RESAMPLES }, () =>
      difference(whole.map(() => random.integer(floods))),
    ).sort();
    const tail = expandedTail(floods);
    const i80 = [quantileSorted(drawn, tail), quantileSorted(drawn, 1 - tail)] as const;
    return { difference: difference(whole), i80: floods > 1 ? i80 : ([NaN, NaN] as const) };
  };
  return {
    ...counts,
    skill: {
      effective: skillOver('effective', whole),
      oneReading: skillOver('oneReading', whole),
      asItStands: skillOver('asItStands', whole),
    },
    gain: { oneReading: gainOver('oneReading'), asItStands: gainOver('asItStands') },
  };
}

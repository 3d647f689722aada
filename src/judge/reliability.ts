import { quantileSorted } from '../kernel/quantile.js';
import { createRandom, splitSeed } from '../kernel/random.js';
import { countedShare, floodSlots, sumByFlood, type Measured } from './floodRatios.js';
import type { LeftOut } from './leaveFloodOut.js';

/** Ends of the bins of stated odds. The chart calls a class sure from 0.8 on, so that is an end. */
export const ODDS_BINS: readonly number[] = [0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1];

/** Did what was given odds of 70 % happen in 70 %? */
export interface Reliability {
  readonly kind: 'reliability';
  /** Bins that hold anything, ascending. */
  readonly bins: readonly {
    readonly from: number;
    readonly to: number;
    /** Mean stated odds. */
    readonly stated: number;
    /** Share that happened, with its interval. */
    readonly seen: Measured;
    /** Where that share would lie in 80 % of worlds in which the stated odds are right. */
    readonly ifRight80: readonly [number, number];
    /** Cases × classes in the bin, by weight; floods that they come from. */
    readonly weight: number;
    readonly floods: number;
  }[];
  /** Mean |seen - stated| over the bins by weight; null without cases. */
  readonly gap: number | null;
  /** The same in the middle world in which the stated odds are right: what is chance alone. */
  readonly gapIfRight: number | null;
  /** Share of such worlds with a gap at least as large. Small: the odds are off. */
  readonly gapTail: number | null;
}

/**
 * Reliability of odds with floods left out: all classes of all cases (or one range of classes), binned by the odds stated.
 *
 * Consistency bars: the stated odds are taken as right and the verdicts drawn from them anew, the readings held fixed (the idea of J.
 * Bröcker & L. A. Smith, "Increasing the reliability of reliability diagrams", Weather and Forecasting 22 (2007) 651-661, from memory,
 * which draws the forecasts anew too). All cases of a flood are drawn by one uniform number: they go wrong together, which makes the bars
 * as wide as they can fairly be.
 *
 * @param options.classes first and last class of the event; default: each class by itself, pooled.
 * @param options.seed default 1.
 * @param options.worlds default 1000.
 * @returns no bins and null without cases.
 * @throws RangeError for classes that aren't in the list.
 */
export function reliabilityOf(
  left: LeftOut,
  { classes, seed = 1, worlds = 1000 }: { classes?: readonly [number, number]; seed?: number; worlds?: number } = {},
): Reliability {
  const { cases, probability, floods } = left;
  const K = cases.classes;
  const C = floods.length === 0 ? 0 : cases.visit.length;
  if (classes !== undefined && !(classes[0] >= 0 && classes[0] <= classes[1] && classes[1] < K))
    throw new RangeError(`reliabilityOf: classes must be a range within 0 to ${K - 1}, got ${classes.join(' to ')}`);
  const events = classes === undefined ? Array.from({ length: K }, (_, k) => [k, k] as const) : [classes];
  const E = events.length;
  const slots = floodSlots(left);
  const B = ODDS_BINS.length - 1;
  const odds = new Float64Array(C * E);
  const bin = new Int32Array(C * E);
  for (let c = 0; c < C; c++)
    events.forEach(([from, to], e) => {
      let p = 0;
      for (let k = from; k <= to; k++) p += probability[c * K + k];
      odds[c * E + e] = Math.min(1, p);
      let b = 0;
      while (b < B - 1 && p >= ODDS_BINS[b + 1]) b++;
      bin[c * E + e] = b;
    });
  const weight = new Float64Array(B);
  const stated = new Float64Array(B);
  for (let at = 0; at < bin.length; at++) {
    const w = cases.weight[Math.floor(at / E)];
    weight[bin[at]] += w;
    stated[bin[at]] += w * odds[at];
  }
  const shares = (classOf: (c: number) => number): Float64Array => {
    const seen = new Float64Array(B);
    for (let c = 0; c < C; c++) {
      const k = classOf(c);
      for (let e = 0; e < E; e++) if (k >= events[e][0] && k <= events[e][1]) seen[bin[c * E + e]] += cases.weight[c];
    }
    return seen.map((s, b) => s / weight[b]);
  };
  const gapOf = (seen: Float64Array): number => {
    let sum = 0;
    let total = 0;
    for (let b = 0; b < B; b++) {
      if (!(weight[b] > 0)) continue;
      sum += weight[b] * Math.abs(seen[b] - stated[b] / weight[b]);
      total += weight[b];
    }
    return sum / total;
  };

  const random = createRandom(splitSeed(seed, 'worlds'));
  const drawn = Array.from({ length: B }, () => new Float64Array(worlds));
  const gaps = new Float64Array(worlds);
  const lot = new Float64Array(floods.length);
  for (let world = 0; world < worlds; world++) {
    for (let f = 0; f < lot.length; f++) lot[f] = random.uniform();
    const seen = shares((c) => classAt(probability, { c, K, u: lot[slots[c]] }));
    for (let b = 0; b < B; b++) drawn[b][world] = seen[b];
    gaps[world] = gapOf(seen);
  }
  for (const values of drawn) values.sort();

  const filled = Array.from({ length: B }, (_, b) => b).filter((b) => weight[b] > 0);
  const inBin = (b: number, happened: boolean) =>
    sumByFlood(
      (c) => {
        let sum = 0;
        for (let e = 0; e < E; e++)
          if (bin[c * E + e] === b && (!happened || within(cases.classIndex[c], events[e]))) sum += cases.weight[c];
        return sum;
      },
      { slots, floods: floods.length },
    );
  const sums = filled.map((b) => ({ of: inBin(b, true), from: inBin(b, false) }));
  const seen = sums.map(countedShare);
  const gap = C > 0 ? gapOf(shares((c) => cases.classIndex[c])) : null;
  return {
    kind: 'reliability',
    bins: filled.map((b, at) => ({
      from: ODDS_BINS[b],
      to: ODDS_BINS[b + 1],
      stated: stated[b] / weight[b],
      seen: seen[at],
      ifRight80: [quantileSorted(drawn[b], 0.1), quantileSorted(drawn[b], 0.9)] as const,
      weight: weight[b],
      floods: sums[at].from.filter((v) => v > 0).length,
    })),
    gap,
    gapIfRight: gap === null ? null : quantileSorted(gaps.slice().sort(), 0.5),
    // The rounding of sums must not decide a tie.
    gapTail: gap === null ? null : gaps.filter((g) => g >= gap - 1e-12).length / worlds,
  };
}

function within(k: number, [from, to]: readonly [number, number]): boolean {
  return k >= from && k <= to;
}

/** Class of case c at the share u of its cumulative odds. */
function classAt(probability: Float64Array, { c, K, u }: { c: number; K: number; u: number }): number {
  let below = 0;
  for (let k = 0; k < K - 1; k++) {
    below += probability[c * K + k];
    if (u < below) return k;
  }
  return K - 1;
}

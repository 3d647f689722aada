import { exactInterval } from '../kernel/exactInterval.js';
import type { LeftOut } from './leaveFloodOut.js';
import { resampleFloods } from './resampleFloods.js';
import type { Interval } from './types.js';

/** A number and its 80 % interval; null where there is none. */
export interface Measured {
  readonly value: number | null;
  readonly i80: Interval;
}

/** How often something happened on logged days, with what it rests on: `1 day in 38, in 1 flood of 30; at most in 1 flood of 8`. */
export interface Counted extends Measured {
  /** Days on which it happened, of so many (verdicts by weight). */
  readonly cases: number;
  readonly days: number;
  /** Floods with such a day, of so many. */
  readonly floodsWith: number;
  readonly floods: number;
  /** The share of floods with such a day is below this with 90 % confidence (exact, Clopper–Pearson); null without floods. */
  readonly floodsAtMost: number | null;
}

/** Sums over the cases of each flood: `of[f]` out of `from[f]`. */
export interface FloodSums {
  readonly of: Float64Array;
  readonly from: Float64Array;
}

/**
 * Σ of/Σ from for each pair of flood sums, with 80 % intervals by resampling floods: for means and differences. A share of days is for
 * `countedShare`.
 *
 * @param options.floods number of floods.
 * @param options.seed seed.
 * @param options.resamples default 2000.
 */
export function floodRatios(
  sums: readonly FloodSums[],
  { floods, seed, resamples }: { floods: number; seed: number; resamples?: number },
): readonly Measured[] {
  const ratio = ({ of, from }: FloodSums, times?: Int32Array): number => {
    let above = 0;
    let below = 0;
    for (let f = 0; f < floods; f++) {
      const weight = times === undefined ? 1 : times[f];
      above += weight * of[f];
      below += weight * from[f];
    }
    return below > 0 ? above / below : NaN;
  };
  const intervals = resampleFloods(floods, (times) => sums.map((s) => ratio(s, times)), {
    seed,
    ...(resamples === undefined ? {} : { resamples }),
  });
  return sums.map((s, at) => {
    const value = ratio(s);
    return { value: value === value ? value : null, i80: intervals[at] };
  });
}

/**
 * The share of days on which something happened, Σ of/Σ from, with an exact 80 % interval that takes the days of a flood for one witness:
 * `exactInterval` for the effective number of floods (Σ from)²/Σ from². Resampling can't see what a log of few floods holds once or never;
 * here every further case moves both ends up.
 */
export function countedShare({ of, from }: FloodSums): Counted {
  let cases = 0;
  let days = 0;
  let squares = 0;
  let floodsWith = 0;
  let floods = 0;
  from.forEach((weight, f) => {
    cases += of[f];
    days += weight;
    squares += weight * weight;
    if (of[f] > 0) floodsWith++;
    if (weight > 0) floods++;
  });
  if (!(days > 0))
    return { value: null, i80: [null, null], cases: 0, days: 0, floodsWith: 0, floods: 0, floodsAtMost: null };
  // Sums of thirds can pass 1 by a rounding error.
  const value = Math.min(1, cases / days);
  const n = (days * days) / squares;
  return {
    value,
    i80: exactInterval(value * n, { n }),
    cases,
    days,
    floodsWith,
    floods,
    floodsAtMost: exactInterval(floodsWith, { n: floods })[1],
  };
}

/** Index of each case's flood among `left.floods` (C). */
export function floodSlots({ cases, floods }: Pick<LeftOut, 'cases' | 'floods'>): Int32Array {
  const slot = new Map(floods.map(({ flood }, at) => [flood, at]));
  return cases.flood.map((flood) => slot.get(flood)!);
}

/** Adds up a value a case into its flood (F). */
export function sumByFlood(
  value: (c: number) => number,
  { slots, floods }: { slots: Int32Array; floods: number },
): Float64Array {
  const out = new Float64Array(floods);
  for (let c = 0; c < slots.length; c++) out[slots[c]] += value(c);
  return out;
}

import type { LeftOut } from './leaveFloodOut.js';
import { resampleFloods } from './resampleFloods.js';
import type { Interval } from './types.js';

/** A number and its 80 % interval from resampling floods; null where there is none. */
export interface Measured {
  readonly value: number | null;
  readonly i80: Interval;
}

/** Sums over the cases of each flood: `of[f]` out of `from[f]`. */
export interface FloodSums {
  readonly of: Float64Array;
  readonly from: Float64Array;
  /** True: a share from 0 to 1. */
  readonly share?: boolean;
}

/**
 * Σ of/Σ from for each pair of flood sums, with intervals by resampling floods.
 *
 * Where a share is 0 in every flood, resampling can't see anything but 0, and an interval of no width would say that it never happens. Its upper end is then
 * 1 - 0.1^(1/F), the largest chance under which F floods without a single case have odds of 10 %; the same from the other side for a share of 1.
 *
 * @param options.floods number of floods. @param options.seed seed. @param options.resamples default 2000.
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
    const taking = s.from.reduce((count, v) => count + (v > 0 ? 1 : 0), 0);
    return Object.freeze({
      value: value === value ? value : null,
      i80: s.share === true && taking > 0 ? widened(intervals[at], { value, taking }) : intervals[at],
    });
  });
}

function widened([low, high]: Interval, { value, taking }: { value: number; taking: number }): Interval {
  const never = 1 - 0.1 ** (1 / taking);
  const rounding = 1e-12;
  if (value < rounding) return Object.freeze([0, Math.max(never, high ?? 0)] as const);
  if (value > 1 - rounding) return Object.freeze([Math.min(1 - never, low ?? 1), 1] as const);
  return Object.freeze([low, high] as const);
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

import { quantileSorted } from './quantile.js';

/** Lower and upper bound; `null` where there is none (JSON has no infinity). */
export type Interval = readonly [number | null, number | null];

/** A quantity with the ends of its posterior. */
export interface Estimate {
  readonly median: number;
  readonly i80: Interval;
  readonly i95: Interval;
}

/**
 * Median, 80 % and 95 % interval of draws: quantiles of type 7 (as R and numpy) at 0.025, 0.1, 0.5, 0.9, 0.975.
 *
 * @param draws in any order, any length above 0; not changed.
 * @returns bounds are null where they are not finite.
 * @throws RangeError without draws.
 */
export function estimate(draws: Float64Array): Estimate {
  if (draws.length === 0) throw new RangeError('estimate: needs at least one draw');
  const sorted = draws.slice().sort();
  const at = (p: number) => quantileSorted(sorted, p);
  return { median: at(0.5), i80: finiteInterval(at(0.1), at(0.9)), i95: finiteInterval(at(0.025), at(0.975)) };
}

/**
 * Median and intervals of a posterior on grid values: each value's share is spread evenly over its cell, which reaches to the middles
 * between it and its neighbours. An interval holds at least the whole cell of the median: a grid can't know more than its step.
 *
 * @param probability G shares that sum to 1. @param options.of the value at a grid point.
 * @returns a NaN median and no bounds where all shares are 0.
 */
export function gridEstimate(probability: ArrayLike<number>, { of }: { of: (g: number) => number }): Estimate {
  const by = new Map<number, number>();
  for (let g = 0; g < probability.length; g++) by.set(of(g), (by.get(of(g)) ?? 0) + probability[g]);
  const values = [...by.keys()].sort((a, b) => a - b);
  const last = values.length - 1;
  const edge = (i: number): number =>
    i === 0 ? values[0] : i > last ? values[last] : 0.5 * (values[i - 1] + values[i]);
  const placeOf = (p: number): { readonly cell: number; readonly value: number } => {
    let below = 0;
    for (let cell = 0; cell <= last; cell++) {
      const own = by.get(values[cell])!;
      if (own > 0 && below + own >= p * (1 - 1e-12))
        return { cell, value: edge(cell) + ((edge(cell + 1) - edge(cell)) * (p - below)) / own };
      below += own;
    }
    return { cell: -1, value: NaN };
  };
  const { cell, value: median } = placeOf(0.5);
  const interval = (tail: number): Interval =>
    finiteInterval(Math.min(placeOf(tail).value, edge(cell)), Math.max(placeOf(1 - tail).value, edge(cell + 1)));
  return { median, i80: interval(0.1), i95: interval(0.025) };
}

/** An interval with null for what is not finite. */
export function finiteInterval(from: number, to: number): Interval {
  return [Number.isFinite(from) ? from : null, Number.isFinite(to) ? to : null];
}

/** Width of the 80 % interval; NaN where a bound is missing. */
export function width80({ i80: [from, to] }: Pick<Estimate, 'i80'>): number {
  return from === null || to === null ? NaN : to - from;
}

/** The value, or null where JSON could not carry it. */
export function finiteOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

import type { LoggerEstimate } from './types.js';

/**
 * Median and intervals of a posterior on grid values: each value's share is spread evenly between the middles to its neighbours.
 *
 * @param probability G shares that sum to 1. @param options.of the value at a grid point.
 * @returns NaN throughout where all shares are 0.
 */
export function gridEstimate(probability: Float64Array, { of }: { of: (g: number) => number }): LoggerEstimate {
  const by = new Map<number, number>();
  probability.forEach((p, g) => by.set(of(g), (by.get(of(g)) ?? 0) + p));
  const values = [...by.keys()].sort((a, b) => a - b);
  const edge = (i: number): number =>
    i === 0 ? values[0] : i === values.length ? values[i - 1] : 0.5 * (values[i - 1] + values[i]);
  const at = (p: number): number => {
    let below = 0;
    for (let i = 0; i < values.length; i++) {
      const own = by.get(values[i])!;
      if (own > 0 && below + own >= p * (1 - 1e-12)) return edge(i) + ((edge(i + 1) - edge(i)) * (p - below)) / own;
      below += own;
    }
    return NaN;
  };
  return Object.freeze({
    median: at(0.5),
    i80: Object.freeze([at(0.1), at(0.9)] as const),
    i95: Object.freeze([at(0.025), at(0.975)] as const),
  });
}

import { quantileSorted } from '../kernel/quantile.js';
import { finiteOrNull } from './numbers.js';
import type { Estimate } from './types.js';

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
  const at = (p: number) => finiteOrNull(quantileSorted(sorted, p));
  return Object.freeze({
    median: quantileSorted(sorted, 0.5),
    i80: Object.freeze([at(0.1), at(0.9)] as const),
    i95: Object.freeze([at(0.025), at(0.975)] as const),
  });
}

/** Width of the 80 % interval; NaN where a bound is missing. */
export function width80({ i80 }: Estimate): number {
  return i80[0] === null || i80[1] === null ? NaN : i80[1] - i80[0];
}

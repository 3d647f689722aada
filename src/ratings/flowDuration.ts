import { ranks } from '../kernel/ranks.js';
import { quantileSorted, type QuantileType } from '../kernel/quantile.js';

/** Plotting positions (i - a)/(n + 1 - 2a) of the i-th smallest of n. */
export type PlottingPosition = 'weibull' | 'hazen' | 'cunnane' | 'blom' | 'gringorten';

const A: Readonly<Record<PlottingPosition, number>> = {
  weibull: 0,
  hazen: 0.5,
  cunnane: 0.4,
  blom: 0.375,
  gringorten: 0.44,
};

/**
 * Non-exceedance probability of each rank, lowest first: (i - a)/(n + 1 - 2a), a = 0 (Weibull), 0.5 (Hazen), 0.4 (Cunnane), 0.375
 * (Blom), 0.44 (Gringorten). Source: the list of S. L. Dingman and of statistical software; common practice.
 * @param n number of values, 0 or more
 * @throws RangeError for an n that is no whole number
 * @example plottingPositions(3) // [0.25, 0.5, 0.75]
 */
export function plottingPositions(
  n: number,
  { position = 'weibull' }: { position?: PlottingPosition } = {},
): Float64Array {
  if (!Number.isInteger(n) || n < 0) throw new RangeError(`plottingPositions: n must be a whole number, got ${n}`);
  const a = A[position];
  return Float64Array.from({ length: n }, (_, i) => (i + 1 - a) / (n + 1 - 2 * a));
}

/**
 * Exceedance probability of every value: rank/(n + 1), rank 1 for the largest, ties sharing the mean of their ranks. NaN stays
 * NaN and is not counted. Source: J. K. Searcy, Flow-duration curves, USGS WSP 1542-A, 1959 (definition from memory).
 * @example exceedance([10, 5, 20]) // [0.5, 0.75, 0.25]
 */
export function exceedance(flows: ArrayLike<number>): Float64Array {
  const out = new Float64Array(flows.length).fill(NaN);
  const known = Array.from(out.keys()).filter((i) => flows[i] === flows[i]);
  ranks(known.map((i) => -flows[i])).forEach((rank, k) => (out[known[k]] = rank / (known.length + 1)));
  return out;
}

/** A flow-duration curve: `flows[k]` is exceeded in the share `exceeded[k]` of the time. */
export interface FlowDuration {
  readonly kind: 'flow-duration';
  readonly status: 'ok' | 'too-few-rows';
  readonly observations: number;
  readonly exceeded: Float64Array;
  readonly flows: Float64Array;
}

/** The usual percentiles (common practice). */
const USUAL = [0.01, 0.05, 0.1, 0.2, 0.25, 0.3, 0.5, 0.7, 0.75, 0.8, 0.9, 0.95, 0.99];

/**
 * Flow-duration curve: the flow exceeded in a given share of the time, the 1 - p sample quantile; by default at Weibull's
 * positions m/(n + 1) (quantile type 6). A share outside 1/(n + 1) … n/(n + 1) gives the largest or smallest value. NaN values
 * are left out.
 * @param flows any order and unit, one value a day (or any equal step)
 * @returns with no value the status `too-few-rows` and NaN
 * @throws RangeError for a share outside 0 … 1
 * @example flowDuration([1, 2, 3], { exceeded: [0.5] }).flows // [2]
 */
export function flowDuration(
  flows: ArrayLike<number>,
  { exceeded = USUAL, type = 6 }: { exceeded?: ArrayLike<number>; type?: QuantileType } = {},
): FlowDuration {
  const sorted = Float64Array.from(flows)
    .filter((q) => q === q)
    .sort();
  return Object.freeze({
    kind: 'flow-duration',
    status: sorted.length > 0 ? 'ok' : 'too-few-rows',
    observations: sorted.length,
    exceeded: Float64Array.from(exceeded),
    flows: Float64Array.from(exceeded, (p) => quantileSorted(sorted, 1 - p, { type })),
  } as const);
}

import { isotonic } from '../../kernel/isotonic.js';
import { quantileSorted } from '../../kernel/quantile.js';
import { createRandom } from '../../kernel/random.js';
import { checkLevel, checkPairs, extentOf } from './checkPairs.js';
import type { Prediction } from './types.js';

/**
 * What equal x mean. `primary`: their values may differ and are put in order; `secondary`: they get one value; `tertiary`: only
 * their means must rise, each keeps its distance from its mean.
 */
export type TieRule = 'primary' | 'secondary' | 'tertiary';

export interface IsotonicOptions {
  /** n weights above 0. Default all 1. */
  readonly weight?: ArrayLike<number>;
  /** Default secondary. */
  readonly ties?: TieRule;
  /** `falling` reverses the order. Default rising. */
  readonly direction?: 'rising' | 'falling';
}

/** A monotone step function. */
export interface IsotonicFit {
  readonly kind: 'isotonic-fit';
  readonly status: 'ok' | 'too-few-rows';
  /** Fitted value of each row, in the order given. */
  readonly fitted: Float64Array;
  /** Different x, ascending, and the step's value from each of them on (mean over tied rows). */
  readonly stepX: Float64Array;
  readonly stepY: Float64Array;
  /** Number of different levels. */
  readonly levels: number;
  /** 1 - Σ w(y - fitted)²/Σ w(y - mean)². */
  readonly rSquared: number;
  readonly observations: number;
}

/**
 * Monotone least squares: the rising (or falling) steps with the least Σ w·(y - f)², by pooling. No shape is assumed beyond the
 * order, which makes it the check of every curve that has one. Source: R. E. Barlow et al. 1972; T. Robertson, F. T. Wright &
 * R. L. Dykstra, Order Restricted Statistical Inference, 1988; names of the tie rules as in J. de Leeuw, K. Hornik & P. Mair,
 * J. Statist. Softw. 32(5) (2009).
 * @param x n finite numbers
 * @param y n finite numbers
 * @returns with no row the status is `too-few-rows`
 * @throws RangeError for lengths that differ, values that are not finite, a weight not above 0
 * @example isotonicStep([1, 2, 3], [1, 3, 2]).stepY // [1, 2.5, 2.5]
 */
export function isotonicStep(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  { weight, ties = 'secondary', direction = 'rising' }: IsotonicOptions = {},
): IsotonicFit {
  checkPairs('isotonicStep', { x, y, weight }, { positive: ['weight'] });
  const n = x.length;
  const sign = direction === 'falling' ? -1 : 1;
  const order = Array.from({ length: n }, (_, i) => i);
  order.sort((a, b) => x[a] - x[b] || (ties === 'primary' ? sign * (y[a] - y[b]) : 0) || a - b);
  const w = (i: number): number => weight?.[i] ?? 1;
  const group = new Int32Array(n);
  let groups = 0;
  order.forEach((i, k) => {
    if (k > 0 && x[i] !== x[order[k - 1]]) groups++;
    group[i] = groups;
  });
  groups = n === 0 ? 0 : groups + 1;
  const mass = new Float64Array(groups);
  const mean = new Float64Array(groups);
  const stepX = new Float64Array(groups);
  for (let i = 0; i < n; i++) {
    mass[group[i]] += w(i);
    mean[group[i]] += w(i) * y[i];
    stepX[group[i]] = x[i];
  }
  mean.forEach((sum, g) => (mean[g] = sum / mass[g]));
  const fitted = new Float64Array(n);
  if (ties === 'primary') {
    const values = isotonic(
      Float64Array.from(order, (i) => sign * y[i]),
      Float64Array.from(order, w),
    );
    order.forEach((i, k) => (fitted[i] = sign * values[k]));
  } else {
    const values = isotonic(
      mean.map((m) => sign * m),
      mass,
    );
    for (let i = 0; i < n; i++) {
      const level = sign * values[group[i]];
      fitted[i] = ties === 'secondary' ? level : level + y[i] - mean[group[i]];
    }
  }
  const stepY = new Float64Array(groups);
  for (let i = 0; i < n; i++) stepY[group[i]] += (w(i) * fitted[i]) / mass[group[i]];
  let [total, all, left, spread] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    total += w(i);
    all += w(i) * y[i];
  }
  for (let i = 0; i < n; i++) {
    left += w(i) * (y[i] - fitted[i]) ** 2;
    spread += w(i) * (y[i] - all / total) ** 2;
  }
  return Object.freeze({
    kind: 'isotonic-fit',
    status: n > 0 ? 'ok' : 'too-few-rows',
    fitted,
    stepX,
    stepY,
    levels: new Set(fitted).size,
    rSquared: 1 - left / spread,
    observations: n,
  } as const);
}

/** Value of the steps at x: that of the nearest row at or below; below all rows the first. */
function stepAt({ stepX, stepY }: IsotonicFit, x: number): number {
  let low = 0;
  let high = stepX.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stepX[middle] <= x) low = middle + 1;
    else high = middle;
  }
  return stepY[Math.max(0, low - 1)];
}

export interface IsotonicBandOptions extends IsotonicOptions {
  /** Where the band is wanted. */
  readonly at: ArrayLike<number>;
  /** Seed of the resampling, a whole number. */
  readonly seed: number;
  /** Default 999. */
  readonly resamples?: number;
  /** Rows that belong together (one flood, one day): n labels; whole groups are drawn. Default every row for itself. */
  readonly together?: ArrayLike<number>;
  /** Default 0.95. */
  readonly level?: number;
}

/** The steps with a band around them. */
export interface IsotonicBand {
  readonly kind: 'isotonic-band';
  readonly status: 'ok' | 'too-few-rows';
  readonly level: number;
  readonly resamples: number;
  /** One row for each wanted x. */
  readonly rows: readonly Prediction[];
}

/** Groups below which resampling says nothing (a convention of ours). */
const FEWEST_GROUPS = 5;

/**
 * Percentile bootstrap band of the monotone steps, point by point: rows (or whole groups of them) are drawn with replacement and
 * fitted again. A rough picture, no confidence statement: for steps the plain bootstrap is known to be inconsistent (B. Sen,
 * M. Banerjee & M. Woodroofe, Ann. Statist. 38 (2010) 1953-1977) and near the ends it is too narrow. In the tests
 * (n = 60, a smooth truth) it covered about as often as stated.
 * @returns with fewer than 5 groups the status is `too-few-rows` and the band's ends NaN
 * @throws RangeError as `isotonicStep`, and for resamples or a level out of range
 * @example isotonicBand(stage, discharge, { at: [1, 2], seed: 1 }).rows[0].lower
 */
export function isotonicBand(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  { at, seed, resamples = 999, together, level = 0.95, ...options }: IsotonicBandOptions,
): IsotonicBand {
  checkPairs('isotonicBand', { x, y, weight: options.weight, together }, { positive: ['weight'] });
  checkLevel('isotonicBand', level);
  if (!Number.isInteger(resamples) || resamples < 1)
    throw new RangeError(`isotonicBand: resamples must be a whole number above 0, got ${resamples}`);
  const rowsOf = new Map<number, number[]>();
  for (let i = 0; i < x.length; i++) {
    const label = together?.[i] ?? i;
    rowsOf.set(label, [...(rowsOf.get(label) ?? []), i]);
  }
  const groups = [...rowsOf.values()];
  const status = groups.length < FEWEST_GROUPS ? 'too-few-rows' : 'ok';
  const fit = isotonicStep(x, y, options);
  const random = createRandom(seed);
  const draws = Array.from(at, () => new Float64Array(resamples));
  if (status === 'ok')
    for (let b = 0; b < resamples; b++) {
      const rows = groups.flatMap(() => groups[random.integer(groups.length)]);
      const pick = (values: ArrayLike<number>): number[] => rows.map((i) => values[i]);
      const { weight } = options;
      const again = isotonicStep(pick(x), pick(y), { ...options, ...(weight ? { weight: pick(weight) } : {}) });
      draws.forEach((values, k) => (values[b] = stepAt(again, at[k])));
    }
  const rows = Array.from(at, (where, k): Prediction => {
    const sorted = draws[k].sort();
    const end = (p: number): number => (status === 'ok' ? quantileSorted(sorted, p) : NaN);
    const extent = extentOf(where, { lowest: fit.stepX[0], highest: fit.stepX[fit.stepX.length - 1] });
    const estimate = fit.status === 'ok' ? stepAt(fit, where) : NaN;
    return Object.freeze({ at: where, estimate, lower: end((1 - level) / 2), upper: end((1 + level) / 2), extent });
  });
  return Object.freeze({ kind: 'isotonic-band', status, level, resamples, rows: Object.freeze(rows) } as const);
}

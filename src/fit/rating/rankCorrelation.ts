import { kendallScore, kendallUpperTail } from '../../kernel/kendall.js';
import { normalCdf } from '../../kernel/normal.js';
import { rankDifferenceTails, ranks } from '../../kernel/ranks.js';
import { studentCdf } from '../../kernel/studentT.js';
import { checkPairs } from './checkPairs.js';

/** Kendall below this n without ties is exact, as in R. */
const KENDALL_EXACT = 50;
/** Spearman up to this n without ties is exact: 9! permutations. */
const SPEARMAN_EXACT = 9;

export interface RankCorrelation {
  readonly kind: 'rank-correlation';
  /** `constant`: one of the two never changes, so nothing is correlated. */
  readonly status: 'ok' | 'too-few-rows' | 'constant';
  readonly observations: number;
  /** Kendall's S, τ_b, and how its p was had. */
  readonly kendallS: number;
  readonly kendall: number;
  /** S over its standard deviation (corrected for ties, no continuity correction). */
  readonly kendallZ: number;
  readonly kendallP: number;
  readonly kendallMethod: 'exact' | 'normal';
  readonly spearman: number;
  readonly spearmanP: number;
  readonly spearmanMethod: 'exact' | 'student';
}

/**
 * Kendall's τ_b and Spearman's ρ with two-sided p-values. Without ties τ is exact below n = 50 and ρ up to n = 9; else τ is normal
 * with the variance corrected for ties and no continuity correction, ρ by Student's t with n - 2 degrees of freedom. Readings of
 * one flood are not independent: the p-values are then too small.
 * Source: M. Hollander & D. A. Wolfe, Nonparametric Statistical Methods, 1973, ch. 8; conventions as R's cor.test.
 * @returns with fewer than 3 pairs the status `too-few-rows`, with one constant column `constant`; numbers NaN
 * @throws RangeError for lengths that differ or values that are not finite
 * @example rankCorrelation([1, 2, 3, 4], [1, 3, 2, 4]).kendall // 0.667
 */
export function rankCorrelation(x: ArrayLike<number>, y: ArrayLike<number>): RankCorrelation {
  checkPairs('rankCorrelation', { x, y });
  const n = x.length;
  const { s, untiedX, untiedY, variance, ties } = kendallScore(x, y);
  const status = n < 3 ? 'too-few-rows' : untiedX === 0 || untiedY === 0 ? 'constant' : 'ok';
  const or = (value: number): number => (status === 'ok' ? value : NaN);
  const kendallExact = !ties && n < KENDALL_EXACT;
  const kendallZ = s / Math.sqrt(variance);
  const kendallP = kendallExact
    ? Math.min(1, 2 * kendallUpperTail(Math.abs(s), { n }))
    : 2 * normalCdf(-Math.abs(kendallZ));
  const spearman = correlation(ranks(x), ranks(y));
  const spearmanExact = !ties && n <= SPEARMAN_EXACT;
  return Object.freeze({
    kind: 'rank-correlation',
    status,
    observations: n,
    kendallS: s,
    kendall: or(s / Math.sqrt(untiedX * untiedY)),
    kendallZ: or(kendallZ),
    kendallP: or(kendallP),
    kendallMethod: kendallExact ? 'exact' : 'normal',
    spearman: or(spearman),
    spearmanP: or(spearmanExact && status === 'ok' ? exactSpearman(ranks(x), ranks(y)) : studentSpearman(spearman, n)),
    spearmanMethod: spearmanExact ? 'exact' : 'student',
  } as const);
}

/** Pearson's correlation of two equally long columns. */
export function correlation(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const { sxx, syy, sxy } = moments(x, y);
  return sxy / Math.sqrt(sxx * syy);
}

/** Means and centred sums of squares and products. */
export function moments(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
): { meanX: number; meanY: number; sxx: number; syy: number; sxy: number } {
  const n = x.length;
  let [meanX, meanY, sxx, syy, sxy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    meanX += x[i] / n;
    meanY += y[i] / n;
  }
  for (let i = 0; i < n; i++) {
    sxx += (x[i] - meanX) ** 2;
    syy += (y[i] - meanY) ** 2;
    sxy += (x[i] - meanX) * (y[i] - meanY);
  }
  return { meanX, meanY, sxx, syy, sxy };
}

function exactSpearman(a: Float64Array, b: Float64Array): number {
  const squares = a.reduce((sum, rank, i) => sum + (rank - b[i]) ** 2, 0);
  const { lower, upper } = rankDifferenceTails(squares, { n: a.length });
  return Math.min(1, 2 * Math.min(lower, upper));
}

function studentSpearman(rho: number, n: number): number {
  return 2 * studentCdf(-Math.abs(rho) / Math.sqrt((1 - rho * rho) / (n - 2)), { df: n - 2 });
}

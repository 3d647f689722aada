import { studentCritical } from '../../kernel/studentT.js';
import { york, type YorkLine } from '../../kernel/york.js';
import { checkLevel, checkPairs } from './checkPairs.js';
import { moments } from './rankCorrelation.js';
import type { CurveTerm } from './types.js';

export interface DemingOptions {
  /** λ = var(error of y)/var(error of x). Default 1 (orthogonal regression). Not with per-point errors. */
  readonly varianceRatio?: number;
  /** Standard deviation of each x's error, n numbers above 0; with `ySd` makes it York's line. */
  readonly xSd?: ArrayLike<number>;
  readonly ySd?: ArrayLike<number>;
  /** Default 0.95. */
  readonly level?: number;
}

/** A line through points that are uncertain in both directions. */
export interface DemingLine {
  readonly kind: 'deming-line';
  /** `vertical`: x and y are not correlated, the line has no slope. */
  readonly status: 'ok' | 'too-few-rows' | 'vertical' | 'iteration-limit';
  readonly statusSentence: string;
  readonly slope: number;
  readonly intercept: number;
  /** intercept and slope; standard errors from leaving each row out once, t intervals with n - 2 degrees of freedom. */
  readonly terms: readonly CurveTerm[];
  readonly level: number;
  readonly observations: number;
  /** With per-point errors: standard errors from these alone, and Σ of squared scaled distances (about n - 2 when they are right). */
  readonly given?: {
    readonly interceptSe: number;
    readonly slopeSe: number;
    readonly chiSquare: number;
    readonly df: number;
  };
}

const SENTENCES: Readonly<Record<DemingLine['status'], string>> = {
  ok: 'The line is fitted.',
  'too-few-rows': 'Fewer than 3 rows: no line with an interval.',
  vertical: 'The two do not vary together: no slope is better than another.',
  'iteration-limit': 'The slope did not settle.',
};

/**
 * Deming's line, with errors in both variables. With one ratio of variances λ it is in closed form,
 *
 *   slope = (Syy - λ·Sxx + √((Syy - λ·Sxx)² + 4λ·Sxy²))/(2·Sxy);
 *
 * with standard deviations for each point it is York's. Standard errors by the jackknife, √((n-1)/n·Σ (θ₍ᵢ₎ - mean)²). Sources: W. E. Deming, Statistical Adjustment of Data, 1943 (form from memory); D. York
 * et al., Am. J. Phys. 72 (2004) 367-375; B. D. Ripley & M. Thompson, Analyst 112 (1987) 377-383.
 * With fewer than 3 rows the status is `too-few-rows` and every number NaN.
 * @param x n finite numbers
 * @param y n finite numbers
 * @throws RangeError for lengths that differ, values that are not finite, a ratio or deviation not above 0, only one of xSd and
 * ySd, or a ratio together with them
 * @example demingLine([1, 2, 3, 4], [1.1, 2.3, 2.8, 4.2]).slope
 */
export function demingLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  { varianceRatio, xSd, ySd, level = 0.95 }: DemingOptions = {},
): DemingLine {
  checkPairs('demingLine', { x, y, xSd, ySd }, { positive: ['xSd', 'ySd'] });
  checkLevel('demingLine', level);
  if ((xSd === undefined) !== (ySd === undefined))
    throw new RangeError('demingLine: xSd and ySd go together; give both or neither');
  if (varianceRatio !== undefined && xSd !== undefined)
    throw new RangeError('demingLine: varianceRatio can not be given together with xSd and ySd');
  const lambda = varianceRatio ?? 1;
  if (!(lambda > 0 && lambda < Infinity))
    throw new RangeError(`demingLine: varianceRatio must be above 0 and finite, got ${lambda}`);
  const n = x.length;
  const all = Array.from({ length: n }, (_, i) => i);
  const weights = xSd && ySd ? { xSd, ySd } : undefined;
  const fitRows = (rows: readonly number[]): { slope: number; intercept: number; york?: YorkLine } => {
    const u = Float64Array.from(rows, (i) => x[i]);
    const v = Float64Array.from(rows, (i) => y[i]);
    const closed = closedForm(u, v, weights ? averageRatio(rows, weights) : lambda);
    if (!weights) return closed;
    const wx = Float64Array.from(rows, (i) => weights.xSd[i] ** -2);
    const wy = Float64Array.from(rows, (i) => weights.ySd[i] ** -2);
    const line = york(u, v, { wx, wy, start: closed.slope });
    return { slope: line.slope, intercept: line.intercept, york: line };
  };
  const nothing = { slope: NaN, intercept: NaN, york: undefined };
  const line = n < 3 ? nothing : fitRows(all);
  const status =
    n < 3
      ? 'too-few-rows'
      : line.york?.status === 'iteration-limit'
        ? 'iteration-limit'
        : Number.isFinite(line.slope)
          ? 'ok'
          : 'vertical';
  const without = status === 'ok' ? all.map((i) => fitRows(all.filter((j) => j !== i))) : [];
  const t = n >= 3 ? studentCritical(level, { df: n - 2 }) : NaN;
  const term = (name: 'intercept' | 'slope'): CurveTerm => {
    const estimate = line[name];
    const standardError = status === 'ok' ? jackknife(without.map((w) => w[name])) : NaN;
    const half = t * standardError;
    return Object.freeze({ term: name, estimate, standardError, lower: estimate - half, upper: estimate + half });
  };
  const { york: byYork } = line;
  return Object.freeze({
    kind: 'deming-line',
    status,
    statusSentence: SENTENCES[status],
    slope: line.slope,
    intercept: line.intercept,
    terms: Object.freeze([term('intercept'), term('slope')]),
    level,
    observations: n,
    ...(byYork
      ? {
          given: Object.freeze({
            interceptSe: byYork.interceptSe,
            slopeSe: byYork.slopeSe,
            chiSquare: byYork.chiSquare,
            df: n - 2,
          }),
        }
      : {}),
  } as const);
}

function closedForm(x: Float64Array, y: Float64Array, lambda: number): { slope: number; intercept: number } {
  const { meanX, meanY, sxx, syy, sxy } = moments(x, y);
  const lean = syy - lambda * sxx;
  const root = Math.hypot(lean, 2 * Math.sqrt(lambda) * sxy);
  // Of the two equal forms the one that adds, not subtracts.
  const slope = lean >= 0 ? (lean + root) / (2 * sxy) : (2 * lambda * sxy) / (root - lean);
  return { slope, intercept: meanY - slope * meanX };
}

function averageRatio(
  rows: readonly number[],
  { xSd, ySd }: { xSd: ArrayLike<number>; ySd: ArrayLike<number> },
): number {
  return Math.exp(rows.reduce((sum, i) => sum + 2 * Math.log(ySd[i] / xSd[i]), 0) / rows.length);
}

/** √((n-1)/n·Σ (θ₍ᵢ₎ - mean)²). */
function jackknife(values: readonly number[]): number {
  const n = values.length;
  const mean = values.reduce((a, b) => a + b, 0) / n;
  return Math.sqrt(((n - 1) / n) * values.reduce((sum, v) => sum + (v - mean) ** 2, 0));
}

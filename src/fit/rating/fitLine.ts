import { leastSquares } from '../../kernel/leastSquares.js';
import { studentCritical } from '../../kernel/studentT.js';
import { checkLevel, checkPairs, extentOf } from './checkPairs.js';
import type { CurveTerm, Prediction } from './types.js';

export interface LineOptions {
  /** Forces the line through the origin. Default false. */
  readonly throughOrigin?: boolean;
  /** Default 0.95. */
  readonly level?: number;
}

/** A straight line by ordinary least squares. */
export interface LineFit {
  readonly kind: 'line-fit';
  readonly status: 'converged' | 'singular' | 'too-few-rows';
  readonly statusSentence: string;
  readonly throughOrigin: boolean;
  /** intercept (not through the origin) and slope. */
  readonly terms: readonly CurveTerm[];
  readonly intercept: number;
  readonly slope: number;
  readonly level: number;
  readonly rss: number;
  readonly residualSd: number;
  readonly df: number;
  /** Of the total about the mean; through the origin about 0, as NIST does. */
  readonly rSquared: number;
  readonly observations: number;
  readonly meanX: number;
  /** Σ (x - mean x)²; through the origin Σ x². */
  readonly ssx: number;
  readonly lowestX: number;
  readonly highestX: number;
  readonly residuals: Float64Array;
  /** y minus what the line without that row says: residual/(1 - leverage). */
  readonly leftOut: Float64Array;
  /** Σ leftOut². */
  readonly press: number;
}

const SENTENCES: Readonly<Record<LineFit['status'], string>> = {
  converged: 'The line is fitted.',
  singular: 'All x are the same: there is no line.',
  'too-few-rows': 'There are not more rows than coefficients: nothing is left to judge the line by.',
};

/**
 * Ordinary least squares y = intercept + slope·x (or through the origin) with t intervals and the leave-one-out residuals by
 * the hat-matrix identity. Source: common practice (D. R. Helsel et al., USGS TM 4-A3, 2020, ch. 9; formulas from memory).
 * With 2 rows (1 through the origin) or fewer the status is `too-few-rows`; every number is then NaN.
 * @param x n finite numbers
 * @param y n finite numbers
 * @throws RangeError for lengths that differ, values that are not finite, a level outside (0, 1)
 * @example fitLine([1, 2, 3], [2, 4, 7]).slope // 2.5
 */
export function fitLine(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  { throughOrigin = false, level = 0.95 }: LineOptions = {},
): LineFit {
  checkPairs('fitLine', { x, y });
  checkLevel('fitLine', level);
  const n = x.length;
  const p = throughOrigin ? 1 : 2;
  const df = n - p;
  // About the mean of x the two coefficients don't disturb each other, and no digits are lost far from the origin.
  const meanX = throughOrigin ? 0 : Array.from(x).reduce((a, b) => a + b, 0) / n;
  const columns = new Float64Array(Math.max(1, n) * p);
  for (let i = 0; i < n; i++) {
    if (!throughOrigin) columns[2 * i] = 1;
    columns[i * p + p - 1] = x[i] - meanX;
  }
  const solved = leastSquares(columns, Float64Array.from(y), { n, p });
  const status = df < 1 ? 'too-few-rows' : solved.status === 'ok' ? 'converged' : 'singular';
  const ok = status === 'converged';
  const slope = ok ? solved.coefficients[p - 1] : NaN;
  const centre = throughOrigin ? 0 : solved.coefficients[0];
  const intercept = ok ? centre - slope * meanX : NaN;
  const rss = ok ? solved.rss : NaN;
  const s = Math.sqrt(rss / df);
  const ssx = ok ? 1 / solved.unscaledCovariance[p * p - 1] : NaN;
  const t = ok ? studentCritical(level, { df }) : NaN;
  const term = (name: string, estimate: number, standardError: number): CurveTerm =>
    Object.freeze({
      term: name,
      ...{ estimate, standardError, lower: estimate - t * standardError, upper: estimate + t * standardError },
    });
  const slopeTerm = term('slope', slope, s / Math.sqrt(ssx));
  const meanY = throughOrigin ? 0 : Array.from(y).reduce((a, b) => a + b, 0) / n;
  const total = Array.from(y).reduce((sum, v) => sum + (v - meanY) ** 2, 0);
  const nothing = new Float64Array(n).fill(NaN);
  const residuals = ok ? solved.residuals : nothing;
  const leftOut = ok ? residuals.map((r, i) => r / (1 - solved.leverages[i])) : nothing;
  const xs = Array.from(x);
  return Object.freeze({
    kind: 'line-fit',
    status,
    statusSentence: SENTENCES[status],
    throughOrigin,
    terms: Object.freeze(
      throughOrigin
        ? [slopeTerm]
        : [term('intercept', intercept, s * Math.sqrt(1 / n + (meanX * meanX) / ssx)), slopeTerm],
    ),
    intercept,
    slope,
    level,
    rss,
    residualSd: s,
    df: Math.max(0, df),
    rSquared: 1 - rss / total,
    observations: n,
    meanX,
    ssx,
    lowestX: n > 0 ? Math.min(...xs) : NaN,
    highestX: n > 0 ? Math.max(...xs) : NaN,
    residuals,
    leftOut,
    press: leftOut.reduce((sum, r) => sum + r * r, 0),
  } as const);
}

/**
 * The line at each x, with the t interval of the line (`of: 'curve'`) or of one new y (`'observation'`).
 * @example predictLine(fit, [2.5])[0].estimate
 */
export function predictLine(
  fit: LineFit,
  x: ArrayLike<number>,
  { of = 'curve', level = fit.level }: { of?: 'curve' | 'observation'; level?: number } = {},
): readonly Prediction[] {
  checkLevel('predictLine', level);
  const t = studentCritical(level, { df: fit.df });
  return Object.freeze(
    Array.from(x, (at): Prediction => {
      const estimate = fit.intercept + fit.slope * at;
      const share = (fit.throughOrigin ? 0 : 1 / fit.observations) + (at - fit.meanX) ** 2 / fit.ssx;
      const half = t * fit.residualSd * Math.sqrt(share + (of === 'observation' ? 1 : 0));
      const extent = extentOf(at, { lowest: fit.lowestX, highest: fit.highestX });
      return Object.freeze({ at, estimate, lower: estimate - half, upper: estimate + half, extent });
    }),
  );
}

export interface InverseOptions {
  /** `observation`: the y were measured, with the line's own scatter. `curve`: they are given values of the mean line. Default observation. */
  readonly of?: 'curve' | 'observation';
  /** `inversion`: all x whose interval holds y, Fieller's interval. `wald`: estimate ± t·standard error. Default inversion. */
  readonly method?: 'inversion' | 'wald';
  readonly level?: number;
}

/** The x that belongs to a y. */
export interface InversePrediction {
  readonly kind: 'inverse-prediction';
  /** `two-half-lines`: every x outside (lower, upper); `whole-line`: every x at all; the slope is then not told from 0. */
  readonly status: 'finite' | 'two-half-lines' | 'whole-line' | 'no-fit';
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  /** Of the Wald interval; NaN with inversion. */
  readonly standardError: number;
  readonly extent: 'inside' | 'below' | 'above';
}

/**
 * Inverse prediction of a straight line: which x gave this y? With m readings of y at the same unknown x their scatter joins
 * the line's (pooled, n + m - 3 degrees of freedom). Inversion solves
 *
 *   (ȳ₀ - ȳ - b·(x - x̄))² = t²s²·(1/m + 1/n + (x - x̄)²/SSx)
 *
 * (E. C. Fieller, J. R. Statist. Soc. B 16 (1954) 175-185; F. A. Graybill & H. K. Iyer, Regression Analysis, 1994, ch. 6).
 * Where the slope is not told from 0 the solution is no interval, and the status says which.
 * @param fit a line with an intercept
 * @param y one or more readings
 * @throws RangeError for no reading, one that is not finite, several with `of: 'curve'`, or a line through the origin
 * @example invertLine(fit, [3]).estimate
 */
export function invertLine(
  fit: LineFit,
  y: ArrayLike<number>,
  { of = 'observation', method = 'inversion', level = fit.level }: InverseOptions = {},
): InversePrediction {
  checkLevel('invertLine', level);
  checkPairs('invertLine', { y });
  if (fit.throughOrigin) throw new RangeError('invertLine: the line must have an intercept; fit without throughOrigin');
  const m = y.length;
  if (m === 0 || (m > 1 && of === 'curve'))
    throw new RangeError(
      `invertLine: ${of === 'curve' ? 'one value of the line' : 'at least one reading'} expected, got ${m}`,
    );
  const { slope, meanX, ssx, observations: n } = fit;
  const mean = Array.from(y).reduce((a, b) => a + b, 0) / m;
  const scatter = Array.from(y).reduce((sum, v) => sum + (v - mean) ** 2, 0);
  const df = fit.df + m - 1;
  const s = Math.sqrt((fit.rss + scatter) / df);
  const t = studentCritical(level, { df });
  const offset = mean - (fit.intercept + slope * meanX);
  const estimate = meanX + offset / slope;
  const share = of === 'curve' ? 1 / n : 1 / m + 1 / n;
  const answer = (status: InversePrediction['status'], lower: number, upper: number, standardError = NaN) =>
    Object.freeze({
      kind: 'inverse-prediction',
      status,
      estimate,
      lower,
      upper,
      standardError,
      extent: extentOf(estimate, { lowest: fit.lowestX, highest: fit.highestX }),
    } as const);
  if (fit.status !== 'converged') return answer('no-fit', NaN, NaN);
  if (method === 'wald') {
    const se = (s / Math.abs(slope)) * Math.sqrt(share + (estimate - meanX) ** 2 / ssx);
    return answer('finite', estimate - t * se, estimate + t * se, se);
  }
  const steep = slope * slope - (t * s) ** 2 / ssx;
  const inner = steep * share + (offset * offset) / ssx;
  if (!(steep > 0) && !(inner > 0)) return answer('whole-line', -Infinity, Infinity);
  const half = t * s * Math.sqrt(inner);
  const ends = [meanX + (slope * offset - half) / steep, meanX + (slope * offset + half) / steep];
  return answer(steep > 0 ? 'finite' : 'two-half-lines', Math.min(...ends), Math.max(...ends));
}

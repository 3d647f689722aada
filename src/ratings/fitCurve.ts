import { levenberg, type LevenbergDiary, type Residuals } from '../kernel/levenberg.js';
import { leastSquares } from '../kernel/leastSquares.js';
import { studentCritical } from '../kernel/studentT.js';
import { checkLevel, checkPairs } from './checkPairs.js';
import { profileLimits } from './profileLimits.js';
import type { CurveStatus, CurveTerm } from './types.js';

/** A curve y = value(x, parameters). */
export interface CurveModel {
  /** Names of the p parameters. */
  readonly terms: readonly string[];
  /** NaN where the parameters are outside the model's domain. */
  readonly value: (x: number, parameters: Float64Array) => number;
  /** Derivatives by the parameters, to `out` (p). Default: central differences, which cost about half the digits. */
  readonly gradient?: (x: number, parameters: Float64Array, out: Float64Array) => void;
}

export interface CurveData {
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
  /** Inverse variances up to a factor. Default all 1. */
  readonly weight?: ArrayLike<number>;
}

export interface CurveOptions {
  /** p starting values. */
  readonly start: ArrayLike<number>;
  /** Default 0.95. */
  readonly level?: number;
  /**
   * `profile`: where the residual sum of squares rises to s²t²; skewed as the data are. `wald`: estimate ± t·standard error. Default
   * profile.
   */
  readonly intervals?: 'profile' | 'wald';
  /** Default 2000. */
  readonly maxIterations?: number;
}

/** A fitted curve. */
export interface CurveFit {
  readonly kind: 'curve-fit';
  readonly status: CurveStatus;
  readonly statusSentence: string;
  readonly terms: readonly CurveTerm[];
  /** p estimates, as in `terms`. */
  readonly parameters: Float64Array;
  /** p × p, s²(JᵀJ)⁻¹. */
  readonly covariance: Float64Array;
  readonly level: number;
  /** Weighted residual sum of squares. */
  readonly rss: number;
  /** s = √(rss/df); of an observation of weight 1. */
  readonly residualSd: number;
  readonly df: number;
  readonly observations: number;
  readonly lowestX: number;
  readonly highestX: number;
  readonly iterations: number;
  /** Cosine between residuals and what the model can do; 0 at an exact minimum. */
  readonly cosine: number;
}

const SENTENCES: Readonly<Record<CurveStatus, string>> = {
  converged: 'The fit converged.',
  singular: 'Singular: the data do not determine all parameters.',
  'iteration-limit': 'The iterations ran out before the fit converged.',
  'too-few-rows': 'There are not more observations than parameters: nothing is left to judge the fit by.',
  unbounded: 'A parameter runs off to infinity.',
};

/**
 * Fits a curve by (weighted) nonlinear least squares, min Σ w·(y - f(x, θ))², and gives each parameter an interval. The profile
 * interval is the set of values whose best residual sum of squares stays below rss + s²·t² (D. M. Bates & D. G. Watts,
 * Nonlinear Regression Analysis and Its Applications, 1988, section 6.1; formula from memory).
 *
 * With no more observations than parameters the status is `too-few-rows` and every number NaN.
 * @param data n pairs, finite
 * @param model the curve
 * @throws RangeError for lengths that differ, values that are not finite, a start outside the model's domain
 * @example
 * fitCurve(
 *   { x: [1, 2, 3, 4], y: [2.1, 3.9, 8.2, 15.8] },
 *   { terms: ['a', 'k'], value: (x, [a, k]) => a * Math.exp(k * x) },
 *   { start: [1, 0.5] },
 * ).parameters // about [1.03, 0.68]
 */
export function fitCurve(
  data: CurveData,
  model: CurveModel,
  { start, level = 0.95, intervals = 'profile', maxIterations = 2000 }: CurveOptions,
): CurveFit {
  checkPairs('fitCurve', { x: data.x, y: data.y, weight: data.weight }, { positive: ['weight'] });
  checkLevel('fitCurve', level);
  const n = data.x.length;
  const p = model.terms.length;
  if (start.length !== p)
    throw new RangeError(
      `fitCurve: the model has ${p} parameters (${model.terms.join(', ')}), start has ${start.length}`,
    );
  if (n <= p) return assemble(data, model, { status: 'too-few-rows', level });
  const residuals = curveResiduals(data, model);
  const diary = levenberg(residuals, Float64Array.from(start), { n, maxIterations });
  const covariance = scaledCovariance(diary, { n, p });
  const status = diary.status === 'converged' && covariance === undefined ? 'singular' : diary.status;
  return assemble(data, model, { status, level, diary, covariance, residuals, profile: intervals === 'profile' });
}

/** s²(JᵀJ)⁻¹ at the end of a fit; undefined where JᵀJ is singular. */
function scaledCovariance(diary: LevenbergDiary, { n, p }: { n: number; p: number }): Float64Array | undefined {
  const { status, unscaledCovariance } = leastSquares(diary.jacobian, diary.residuals, { n, p });
  return status === 'ok' ? unscaledCovariance.map((c) => (c * diary.rss) / (n - p)) : undefined;
}

function assemble(
  data: CurveData,
  model: CurveModel,
  {
    status,
    level,
    diary,
    covariance,
    residuals,
    profile = false,
  }: {
    status: CurveStatus;
    level: number;
    diary?: LevenbergDiary;
    covariance?: Float64Array;
    residuals?: Residuals;
    profile?: boolean;
  },
): CurveFit {
  const n = data.x.length;
  const p = model.terms.length;
  const df = Math.max(0, n - p);
  const parameters = diary?.point ?? new Float64Array(p).fill(NaN);
  const t = df > 0 ? studentCritical(level, { df }) : NaN;
  const terms = model.terms.map((term, j): CurveTerm => {
    const estimate = parameters[j];
    const standardError = covariance ? Math.sqrt(covariance[j * p + j]) : NaN;
    const wald = { lower: estimate - t * standardError, upper: estimate + t * standardError };
    const open = !profile || !residuals || !diary || !(standardError > 0);
    const limits = open ? wald : profileLimits(residuals, { diary, n, term: j, t, standardError });
    return Object.freeze({ term, estimate, standardError, ...limits });
  });
  const rss = diary?.rss ?? NaN;
  const xs = Array.from(data.x);
  return Object.freeze({
    kind: 'curve-fit',
    status,
    statusSentence: SENTENCES[status],
    terms: Object.freeze(terms),
    parameters,
    covariance: covariance ?? new Float64Array(p * p).fill(NaN),
    level,
    rss,
    residualSd: Math.sqrt(rss / df),
    df,
    observations: n,
    lowestX: n > 0 ? Math.min(...xs) : NaN,
    highestX: n > 0 ? Math.max(...xs) : NaN,
    iterations: diary?.iterations ?? 0,
    cosine: diary?.cosine ?? NaN,
  } as const);
}

/** The residuals √w·(y - f) of a curve with the derivatives of √w·f. */
export function curveResiduals({ x, y, weight }: CurveData, model: CurveModel): Residuals {
  const n = x.length;
  const p = model.terms.length;
  const root = Float64Array.from({ length: n }, (_, i) => Math.sqrt(weight?.[i] ?? 1));
  const row = new Float64Array(p);
  return (point, residuals, jacobian) => {
    for (let i = 0; i < n; i++) {
      const computed = model.value(x[i], point);
      if (!Number.isFinite(computed)) return false;
      residuals[i] = root[i] * (y[i] - computed);
      if (jacobian) {
        curveGradient(model, x[i], { parameters: point, out: row });
        for (let j = 0; j < p; j++) jacobian[i * p + j] = root[i] * row[j];
      }
    }
    return true;
  };
}

/** ε^(1/3): where rounding and curvature cost a central difference the same. */
const DIFFERENCE = 6e-6;

/** Derivatives of the curve by its parameters, given or by central differences. */
export function curveGradient(
  model: CurveModel,
  x: number,
  { parameters, out }: { parameters: Float64Array; out: Float64Array },
): void {
  if (model.gradient) {
    model.gradient(x, parameters, out);
    return;
  }
  const moved = parameters.slice();
  for (let j = 0; j < parameters.length; j++) {
    const step = DIFFERENCE * Math.max(Math.abs(parameters[j]), 1e-4);
    moved[j] = parameters[j] + step;
    const high = moved[j];
    const above = model.value(x, moved);
    moved[j] = parameters[j] - step;
    const below = model.value(x, moved);
    out[j] = (above - below) / (high - moved[j]);
    moved[j] = parameters[j];
  }
}

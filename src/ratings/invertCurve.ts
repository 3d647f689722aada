import { findRoot } from '../kernel/findRoot.js';
import { studentCritical } from '../kernel/studentT.js';
import { checkLevel, checkPairs, extentOf } from './checkPairs.js';
import { curveGradient, type CurveFit, type CurveModel } from './fitCurve.js';
import type { Prediction } from './types.js';

export interface InverseOptions {
  /** Readings of the curve's y at one unknown x. */
  readonly y: ArrayLike<number>;
  /**
   * `observation`: the y were measured, with the curve's own scatter. `curve`: they are given values of the mean curve. Default
   * observation.
   */
  readonly of?: 'curve' | 'observation';
  /** `inversion`: all x whose interval holds y. `wald`: estimate ± t·standard error. Default inversion. */
  readonly method?: 'inversion' | 'wald';
  /** Default the fit's own. */
  readonly level?: number;
  /** Where x is looked for. Default the range of the data. */
  readonly between?: readonly [number, number];
}

/** The x that belongs to a y. */
export interface InversePrediction {
  readonly kind: 'inverse-prediction';
  readonly status: 'finite' | 'no-fit';
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  /** Of the Wald interval; NaN with inversion. */
  readonly standardError: number;
  readonly extent: 'inside' | 'below' | 'above';
}

function curveVariance(fit: CurveFit, model: CurveModel, x: number): number {
  const p = fit.parameters.length;
  const gradient = new Float64Array(p);
  curveGradient(model, x, { parameters: fit.parameters, out: gradient });
  let sum = 0;
  for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) sum += gradient[a] * fit.covariance[a * p + b] * gradient[b];
  return sum;
}

/**
 * A fitted curve at each x, with the t interval of the curve or of one new observation of weight 1, by the linearised covariance.
 * @example predictCurve(fit, model, { x: [1, 2] })[0].estimate
 */
export function predictCurve(
  fit: CurveFit,
  model: CurveModel,
  { x, of = 'curve', level = fit.level }: { x: ArrayLike<number>; of?: 'curve' | 'observation'; level?: number },
): readonly Prediction[] {
  checkLevel('predictCurve', level);
  const t = studentCritical(level, { df: fit.df });
  return Object.freeze(
    Array.from(x, (at): Prediction => {
      const estimate = model.value(at, fit.parameters);
      const scatter = of === 'observation' ? fit.residualSd ** 2 : 0;
      const half = t * Math.sqrt(curveVariance(fit, model, at) + scatter);
      const extent = extentOf(at, { lowest: fit.lowestX, highest: fit.highestX });
      return Object.freeze({ at, estimate, lower: estimate - half, upper: estimate + half, extent });
    }),
  );
}

/**
 * Inverse prediction of a monotone curve: the x at which it has the mean of the readings y. `inversion`: all x between the two
 * where |ȳ - f(x)| = t·√(s²/m + var f(x)), of a straight line Fieller's interval. `wald`: the delta method for x. Source: B. M. Greenwell &
 * C. M. Schubert Kabban, The R Journal 6(1) (2014) 90-100. The search stays in `between`, default the range of the data; an end of the
 * interval that lies outside it is given as -Infinity or Infinity, and an estimate outside it has the status `no-fit`.
 * @param fit from `fitCurve`
 * @param model the same curve, rising or falling between the bounds
 * @throws RangeError for no reading, one that is not finite, or several with `of: 'curve'`
 * @example invertCurve(fit, model, { y: [309, 296, 419] }).estimate
 */
export function invertCurve(
  fit: CurveFit,
  model: CurveModel,
  {
    y,
    of = 'observation',
    method = 'inversion',
    level = fit.level,
    between = [fit.lowestX, fit.highestX],
  }: InverseOptions,
): InversePrediction {
  checkLevel('invertCurve', level);
  checkPairs('invertCurve', { y });
  const m = y.length;
  if (m === 0 || (m > 1 && of === 'curve'))
    throw new RangeError(
      `invertCurve: ${of === 'curve' ? 'one value of the curve' : 'at least one reading'} expected, got ${m}`,
    );
  const mean = Array.from(y).reduce((a, b) => a + b, 0) / m;
  const [low, high] = between;
  const gap = (x: number): number => model.value(x, fit.parameters) - mean;
  const estimate = fit.status === 'converged' ? findRoot(gap, { low, high }) : NaN;
  const t = studentCritical(level, { df: fit.df });
  const scatter = of === 'curve' ? 0 : fit.residualSd ** 2 / m;
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
  if (estimate !== estimate) return answer('no-fit', NaN, NaN);
  if (method === 'wald') {
    const step = 1e-6 * (high - low);
    const slope = (gap(estimate + step) - gap(estimate - step)) / (2 * step);
    const se = Math.sqrt(scatter + curveVariance(fit, model, estimate)) / Math.abs(slope);
    return answer('finite', estimate - t * se, estimate + t * se, se);
  }
  const reach = (x: number): number => Math.abs(gap(x)) - t * Math.sqrt(scatter + curveVariance(fit, model, x));
  // Along a flat end of the curve the two sides meet more than once: the crossing nearest to the estimate is wanted.
  const end = (stop: number): number => {
    let near = estimate;
    for (let i = 1; i <= 400; i++) {
      const far = estimate + ((stop - estimate) * i) / 400;
      if (reach(far) > 0) return findRoot(reach, { low: near, high: far });
      near = far;
    }
    return stop > estimate ? Infinity : -Infinity;
  };
  return answer('finite', end(low), end(high));
}

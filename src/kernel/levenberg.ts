import { leastSquares } from './leastSquares.js';

/**
 * A residual function of p parameters: fills `residuals` (n, observed minus computed, weights already in) and returns false
 * where the point is outside its domain. With `jacobian` (n·p, row-major) it also fills the derivatives of the COMPUTED values
 * by the parameters, that is minus those of the residuals.
 */
export type Residuals = (point: Float64Array, residuals: Float64Array, jacobian?: Float64Array) => boolean;

export interface LevenbergOptions {
  /** Number of residuals. */
  readonly n: number;
  /** Parameters held at their start (a profile). Default none. */
  readonly held?: readonly number[];
  /** Default 2000: long curved valleys are walked, not given up. */
  readonly maxIterations?: number;
}

/** The optimiser's diary. */
export interface LevenbergDiary {
  /** `singular`: at the end some parameter does not matter. */
  readonly status: 'converged' | 'iteration-limit' | 'singular';
  readonly point: Float64Array;
  readonly rss: number;
  readonly residuals: Float64Array;
  /** Derivatives of the computed values at the point, n × p. */
  readonly jacobian: Float64Array;
  readonly iterations: number;
  /** Cosine between the residuals and the nearest direction that the free parameters can move them: 0 at an exact minimum. */
  readonly cosine: number;
}

const SMALL_STEP = 1e-13;
const FLAT_COSINE = 1e-12;
const EXACT_RSS = 1e-28;
const ROUNDING = 1e-13;
const TINY = 1e-300;
/** Share of the step at which its curvature is probed, and the largest 2|acceleration|/|step| that is trusted. */
const PROBE = 0.1;
const MOST_TURN = 0.75;
/** Relative steps below this are straight, and their curvature is rounding. */
const CURVED_STEP = 1e-5;
const FIRST_DAMPING = 1e-3;

/**
 * Levenberg-Marquardt: each step solves min ‖r - J·d‖² + μ‖D·d‖² by reflections on the stacked matrix (normal equations would
 * square the condition number, which some certified data sets do not forgive). D holds the largest column length met so far,
 * so that steps do not depend on units (J. J. Moré, "The Levenberg-Marquardt algorithm", Lect. Notes Math. 630 (1978)
 * 105-116); μ falls and rises by the gain ratio (H. B. Nielsen, IMM-REP-1999-05, Techn. Univ. Denmark). Formulas from memory.
 * A step is bent by the path's second derivative and refused where that is large beside it: so parameters don't leap to where
 * they have no effect (M. K. Transtrum & J. P. Sethna, arXiv:1201.5885 (2012), "geodesic acceleration").
 * It stops when a step moves no parameter by more than 1e-13 of its size, or when the residuals stand at right angles to all
 * the model can do.
 * @param residuals see `Residuals`
 * @param start p numbers, not changed
 * @throws RangeError when the residuals at the start are not finite
 */
export function levenberg(
  residuals: Residuals,
  start: Float64Array,
  { n, held = [], maxIterations = 2000 }: LevenbergOptions,
): LevenbergDiary {
  const p = start.length;
  const free = Array.from(start.keys()).filter((j) => !held.includes(j));
  const f = free.length;
  let point = start.slice();
  let trial = start.slice();
  let r = new Float64Array(n);
  let trialR = new Float64Array(n);
  let jacobian = new Float64Array(n * p);
  const rows = n + f;
  const stacked = new Float64Array(rows * f);
  const right = new Float64Array(rows);
  if (!residuals(point, r, jacobian)) throw new RangeError('levenberg: the start is outside the domain of the model');
  let rss = sumOfSquares(r);
  if (!Number.isFinite(rss)) throw new RangeError(`levenberg: the residuals at the start must be finite, got ${rss}`);
  const size = Math.max(rss, Number.MIN_VALUE);
  let mu = FIRST_DAMPING;
  let growth = 2;
  let trialJacobian = new Float64Array(n * p);
  const scale = new Float64Array(f);
  let cosine = f === 0 ? 0 : steepness(r, jacobian, { rss, p, free });
  const end = (status: LevenbergDiary['status'], iterations: number): LevenbergDiary => {
    return { status, point, rss, residuals: r, jacobian, iterations, cosine };
  };
  if (f === 0) return end('converged', 0);

  /** Adds half the acceleration of the path to the trial point; false where it is too large beside the step to be trusted. */
  const bend = (step: Float64Array): boolean => {
    const probe = point.slice();
    for (let c = 0; c < f; c++) probe[free[c]] += PROBE * step[c];
    if (!residuals(probe, trialR)) return false;
    right.fill(0);
    for (let i = 0; i < n; i++) {
      let straight = 0;
      for (let c = 0; c < f; c++) straight += jacobian[i * p + free[c]] * step[c];
      right[i] = (-2 / PROBE) * ((r[i] - trialR[i]) / PROBE - straight);
    }
    const { coefficients: acceleration } = leastSquares(stacked, right, { n: rows, p: f });
    let speed = 0;
    let turn = 0;
    for (let c = 0; c < f; c++) {
      speed = Math.hypot(speed, scale[c] * step[c]);
      turn = Math.hypot(turn, scale[c] * acceleration[c]);
      trial[free[c]] += 0.5 * acceleration[c];
    }
    return 2 * turn <= MOST_TURN * speed;
  };

  for (let iteration = 0; iteration < maxIterations; iteration++) {
    for (let c = 0; c < f; c++) {
      let length = 0;
      for (let i = 0; i < n; i++) {
        const d = jacobian[i * p + free[c]];
        stacked[i * f + c] = d;
        length += d * d;
      }
      scale[c] = Math.max(scale[c], Math.sqrt(length));
    }
    if (scale.some((s) => !(s > 0))) return end('singular', iteration);
    if (cosine <= FLAT_COSINE || rss <= EXACT_RSS * size) return end('converged', iteration);

    right.fill(0);
    for (let i = 0; i < n; i++) right[i] = r[i];
    const brake = Math.sqrt(mu);
    for (let c = 0; c < f; c++) for (let j = 0; j < f; j++) stacked[(n + c) * f + j] = c === j ? brake * scale[c] : 0;
    const { status, coefficients: step, rss: linear } = leastSquares(stacked, right, { n: rows, p: f });
    let largest = 0;
    for (let c = 0; c < f; c++) largest = Math.max(largest, Math.abs(step[c]) / (Math.abs(point[free[c]]) || TINY));
    if (status === 'ok' && largest <= SMALL_STEP) return end('converged', iteration);
    for (let c = 0; c < f; c++) trial[free[c]] = point[free[c]] + step[c];
    const bent = status !== 'ok' || (largest > CURVED_STEP && !bend(step));
    const trialRss = !bent && residuals(trial, trialR) ? sumOfSquares(trialR) : Infinity;
    const gain = (rss - trialRss) / (rss - linear);
    let better = trialRss < rss && gain > 0;
    // Within rounding the sum of squares can't tell better from worse any more; the angle of the residuals still can.
    const level = !better && trialRss <= rss * (1 + ROUNDING);
    if (better || level) residuals(trial, trialR, trialJacobian);
    const trialCosine = better || level ? steepness(trialR, trialJacobian, { rss: trialRss, p, free }) : NaN;
    if (level) better = trialCosine < cosine;
    if (better) {
      [point, trial] = [trial, point];
      [r, trialR] = [trialR, r];
      [jacobian, trialJacobian] = [trialJacobian, jacobian];
      rss = trialRss;
      cosine = trialCosine;
      mu = Math.max(1e-18, mu * (level ? 0.1 : Math.max(0.1, 1 - (2 * gain - 1) ** 3)));
      growth = 2;
    } else {
      mu *= growth;
      growth *= 2;
      // The damping has shut: nothing within rounding goes down any more.
      if (mu > 1e40) return end(cosine < 1e-5 ? 'converged' : 'iteration-limit', iteration);
    }
  }
  return end('iteration-limit', maxIterations);
}

/** Largest cosine between the residuals and a free column of the Jacobian. */
function steepness(
  r: Float64Array,
  jacobian: Float64Array,
  { rss, p, free }: { rss: number; p: number; free: readonly number[] },
): number {
  let most = 0;
  for (const j of free) {
    let length = 0;
    let along = 0;
    for (let i = 0; i < r.length; i++) {
      const d = jacobian[i * p + j];
      length += d * d;
      along += d * r[i];
    }
    if (length > 0 && rss > 0) most = Math.max(most, Math.abs(along) / Math.sqrt(length * rss));
  }
  return most;
}

function sumOfSquares(r: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) sum += r[i] * r[i];
  return sum;
}

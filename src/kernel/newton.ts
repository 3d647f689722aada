import { choleskyFactor, choleskySolve } from './cholesky.js';

/**
 * A smooth function of n variables: returns its value at `point`; fills `gradient` (n) and `hessian` (n·n row-major, both
 * triangles) where they are given. A point outside its domain returns -Infinity or NaN.
 */
export type Objective = (point: Float64Array, gradient?: Float64Array, hessian?: Float64Array) => number;

/** The optimiser's diary. */
export interface MaximumDiary {
  /**
   * `singular`: the Hessian at the end is not negative definite, so this is no isolated maximum.
   * `iteration-limit`: the iterations ran out, or no step went up although the gradient is not small.
   */
  readonly status: 'converged' | 'iteration-limit' | 'singular';
  readonly iterations: number;
  /** Largest absolute gradient at `point`. */
  readonly gradient: number;
  readonly value: number;
  readonly point: Float64Array;
  /** Lower Cholesky factor of the negative Hessian at `point` (n·n); absent where that is not positive definite. */
  readonly factor?: Float64Array;
  /** Hessian at `point`. */
  readonly hessian: Float64Array;
}

export interface MaximiseOptions {
  /** Default 100. */
  readonly maxIterations?: number;
  /** Converged when every |gradient| is at most this… Default 1e-8. */
  readonly gradientTolerance?: number;
  /** …or when the rise that Newton's step still promises is at most this times (1 + |value|). Default 1e-20. */
  readonly riseTolerance?: number;
  /** No coordinate moves by more than this in one step. Default Infinity. */
  readonly maxStep?: number;
}

/** Relative noise of a value summed over many rows; smaller falls are not held against a step. */
const VALUE_NOISE = 1e-13;
const STALL_RISE = 1e-10;
const HALVINGS = 40;

function largest(x: Float64Array): number {
  let most = 0;
  for (let i = 0; i < x.length; i++) {
    const size = Math.abs(x[i]);
    if (!(size <= most)) most = size;
  }
  return most;
}

/**
 * Climbs to a local maximum by damped Newton steps: where the negative Hessian is not positive definite a Levenberg ridge
 * is added and doubled until it is, and a step that does not raise the value enough is halved (Nocedal & Wright, Numerical
 * Optimization, 2nd ed. 2006, sections 3.1 and 3.4).
 * @param objective value, gradient and Hessian
 * @param start n starting values, not changed
 * @throws RangeError when the value at the start is not finite
 * @example
 * maximise((p, g, h) => {
 *   if (g) g[0] = -2 * (p[0] - 3);
 *   if (h) h[0] = -2;
 *   return -((p[0] - 3) ** 2);
 * }, new Float64Array([0])).point // [3]
 */
export function maximise(
  objective: Objective,
  start: Float64Array,
  { maxIterations = 100, gradientTolerance = 1e-8, riseTolerance = 1e-20, maxStep = Infinity }: MaximiseOptions = {},
): MaximumDiary {
  const n = start.length;
  let point = start.slice();
  let trial = new Float64Array(n);
  const gradient = new Float64Array(n);
  const hessian = new Float64Array(n * n);
  const factor = new Float64Array(n * n);
  const step = new Float64Array(n);
  let value = objective(point, gradient, hessian);
  if (!Number.isFinite(value)) throw new RangeError(`maximise: the value at the start must be finite, got ${value}`);
  let stalled = false;
  for (let iteration = 0; ; iteration++) {
    const ridge = factorWithRidge(factor, hessian, n);
    step.set(gradient);
    if (ridge < Infinity) choleskySolve(factor, n, step);
    let slope = 0;
    for (let i = 0; i < n; i++) slope += gradient[i] * step[i];
    const steepest = largest(gradient);
    // After a stall the value can't tell better from worse any more; what Newton's step promises still can.
    const negligible = (stalled ? STALL_RISE : riseTolerance) * (1 + Math.abs(value));
    const flat = steepest <= gradientTolerance || (ridge === 0 && slope <= negligible);
    if (flat || stalled || iteration >= maxIterations || ridge === Infinity) {
      const definite = ridge === 0;
      const status = !definite && (flat || ridge === Infinity) ? 'singular' : flat ? 'converged' : 'iteration-limit';
      return {
        status,
        iterations: iteration,
        gradient: steepest,
        value,
        point,
        hessian,
        ...(definite ? { factor } : {}),
      };
    }
    const longest = largest(step);
    let share = longest > maxStep ? maxStep / longest : 1;
    stalled = true;
    for (let halving = 0; halving < HALVINGS; halving++, share *= 0.5) {
      for (let i = 0; i < n; i++) trial[i] = point[i] + share * step[i];
      const reached = objective(trial);
      if (reached >= value + 1e-4 * share * slope - VALUE_NOISE * (1 + Math.abs(value))) {
        stalled = false;
        break;
      }
    }
    if (stalled) continue;
    [point, trial] = [trial, point];
    value = objective(point, gradient, hessian);
  }
}

/**
 * Factors -H + ridge·D with the smallest ridge of a growing sequence that makes it positive definite; returns that ridge, 0
 * where none was needed, Infinity where none helps (a NaN in the Hessian). D is the size of the Hessian's diagonal
 * (Marquardt's scaling), so that a step does not depend on the units of the coordinates.
 */
function factorWithRidge(factor: Float64Array, hessian: Float64Array, n: number): number {
  let scale = 0;
  for (let i = 0; i < n; i++) scale = Math.max(scale, Math.abs(hessian[i * n + i]));
  // A coordinate without curvature of its own still needs a brake.
  const floor = 1e-8 * scale + Number.MIN_VALUE;
  let ridge = 0;
  for (let attempt = 0; attempt < 40; attempt++) {
    for (let i = 0; i < n * n; i++) factor[i] = -hessian[i];
    for (let i = 0; i < n; i++) factor[i * n + i] += ridge * Math.max(floor, Math.abs(hessian[i * n + i]));
    if (choleskyFactor(factor, n) === 'ok') return ridge;
    ridge = ridge === 0 ? 1e-3 : 4 * ridge;
  }
  return Infinity;
}

import { choleskyFactor, choleskyLogDet, choleskySolve } from '../kernel/cholesky.js';
import type { Mode } from './findMode.js';
import type { GridProblem } from './gridProblem.js';
import { WEAK_PRIORS } from './priors.js';

const LN_2PI = 1.8378770664093453;

/**
 * Squared distance, in sds of the moved normal, beyond which a move to a larger ω is no longer believed: so far from the mode the ln
 * posterior is no parabola, and where the moved precision is nearly singular the shift runs away. A move to a smaller ω only draws the
 * biases in.
 */
const FARTHEST_MOVE = 9;

/** Half-sd steps over ±3 prior sds of ln ω. */
const STEPS = 13;

/** The grid of the observers' spread ω: values and ln prior weights. One value where biases are off. */
export function observerSpreadGrid(problem: GridProblem): {
  readonly omega: Float64Array;
  readonly logPrior: Float64Array;
} {
  const { median, sdLn } = WEAK_PRIORS.observerSd;
  const { options } = problem;
  if (!options.bias || options.priors === 'none')
    return { omega: Float64Array.of(options.observerSd), logPrior: Float64Array.of(0) };
  const sd = sdLn * options.priorWidth;
  const z = Float64Array.from({ length: STEPS }, (_, j) => -3 + (6 * j) / (STEPS - 1));
  const total = z.reduce((sum, v) => sum + Math.exp(-0.5 * v * v), 0);
  return {
    omega: z.map((v) => median * options.scale * Math.exp(v * sd)),
    logPrior: z.map((v) => -0.5 * v * v - Math.log(total)),
  };
}

/** Laplace's normal of a mode moved to another ω. */
export interface Spread {
  readonly omega: number;
  readonly logEvidence: number;
  /** Shift of the free parameters from the mode (F). */
  readonly shift: Float64Array;
  /** Cholesky factor of the precision (F×F). */
  readonly factor: Float64Array;
}

/**
 * The mode found at ω̂, carried to another ω in closed form: changing ω only changes the biases' normal prior, and a normal times a
 * normal is a normal. With Λ the precision at the mode, b̂ its biases, Δ = 1/ω² - 1/ω̂²: precision Λ + Δ·I_b, shift
 * -(Λ + Δ·I_b)⁻¹ Δ b̂. Exact as far as Laplace's approximation is; importance weights take up the rest.
 *
 * @returns undefined where the moved precision is not positive definite, or the move is too far for a parabola.
 */
export function moveSpread(problem: GridProblem, mode: Mode, omega: number): Spread | undefined {
  const { plan, options } = problem;
  const F = plan.free.length;
  const delta = 1 / (omega * omega) - 1 / (options.observerSd * options.observerSd);
  const factor = new Float64Array(F * F);
  for (let i = 0; i < F * F; i++) factor[i] = -mode.hessian[i];
  const shift = new Float64Array(F);
  let square = 0;
  for (let a = 0; a < F; a++) {
    if (plan.free[a] < plan.bias) continue;
    const b = mode.u[plan.free[a]];
    factor[a * F + a] += delta;
    shift[a] = -delta * b;
    square += b * b;
  }
  const pull = shift.slice();
  if (choleskyFactor(factor, F) !== 'ok') return undefined;
  choleskySolve(factor, F, shift);
  let gain = 0;
  for (let a = 0; a < F; a++) gain += pull[a] * shift[a];
  if (delta < 0 && !(gain <= FARTHEST_MOVE)) return undefined;
  const logEvidence =
    mode.value +
    biasPriorChange(problem, omega, square) +
    0.5 * gain +
    0.5 * F * LN_2PI -
    0.5 * choleskyLogDet(factor, F);
  return { omega, logEvidence, shift, factor };
}

/** What the biases' ln prior gains when ω̂ becomes ω, for a sum of squared biases. */
export function biasPriorChange(problem: GridProblem, omega: number, squares: number): number {
  const { options, plan } = problem;
  const count = options.bias ? plan.size - plan.bias : 0;
  const delta = 1 / (omega * omega) - 1 / (options.observerSd * options.observerSd);
  return -count * Math.log(omega / options.observerSd) - 0.5 * delta * squares;
}

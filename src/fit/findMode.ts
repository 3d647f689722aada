import { choleskyLogDet } from '../kernel/cholesky.js';
import { maximise, type MaximumDiary } from '../kernel/newton.js';
import type { GridProblem } from './gridProblem.js';

/** The mode of the posterior at one grid point, with Laplace's approximation around it. */
export interface Mode {
  readonly g: number;
  /** All parameters at the mode (plan.size). */
  readonly u: Float64Array;
  readonly status: MaximumDiary['status'];
  readonly iterations: number;
  readonly gradient: number;
  /** ln posterior (unnormalised) at the mode. */
  readonly value: number;
  /** ln evidence by Laplace: value + ½F ln 2π - ½ ln det(-H); -Infinity where H is not negative definite. */
  readonly logEvidence: number;
  /** Lower Cholesky factor of -H over the free parameters (F×F). */
  readonly factor: Float64Array | undefined;
  readonly hessian: Float64Array;
}

const LN_2PI = 1.8378770664093453;

/** Times the nodes are laid anew around the point reached. */
const NODE_ROUNDS = 4;

/**
 * Climb from `start` (all parameters) to the mode at grid point `g`. Nodes of the inner integral are laid at the start, held while
 * Newton's method climbs, and laid again where it has moved far enough for that to matter.
 */
export function findMode(
  problem: GridProblem,
  g: number,
  start: Float64Array,
  { tolerance = 1e-8, maxIterations = 60 }: { tolerance?: number; maxIterations?: number } = {},
): Mode {
  const { plan } = problem;
  const U = plan.size;
  const F = plan.free.length;
  const u = start.slice();
  const full = { gradient: new Float64Array(U), hessian: new Float64Array(U * U) };
  const objective = (free: Float64Array, gradient?: Float64Array, hessian?: Float64Array): number => {
    for (let a = 0; a < F; a++) u[plan.free[a]] = free[a];
    if (gradient === undefined || hessian === undefined) return problem.logPosterior(u, g);
    const value = problem.logPosterior(u, g, full);
    for (let a = 0; a < F; a++) {
      gradient[a] = full.gradient[plan.free[a]];
      for (let b = 0; b < F; b++) hessian[a * F + b] = full.hessian[plan.free[a] * U + plan.free[b]];
    }
    return value;
  };
  let iterations = 0;
  let diary: MaximumDiary | undefined;
  for (let round = 0; round < NODE_ROUNDS; round++) {
    problem.setNodes(u, g);
    const from = Float64Array.from(plan.free, (i) => u[i]);
    // A rise promised below the tolerance is below what the integral's own nodes leave uncertain.
    diary = maximise(objective, from, {
      maxIterations,
      gradientTolerance: 1e-9,
      riseTolerance: tolerance * 1e-2,
      maxStep: 1.5,
    });
    iterations += diary.iterations;
    for (let a = 0; a < F; a++) u[plan.free[a]] = diary.point[a];
    let moved = 0;
    for (let a = 0; a < F; a++) moved = Math.max(moved, Math.abs(diary.point[a] - from[a]));
    if (moved < 0.05 || diary.status === 'singular') break;
  }
  const d = diary!;
  return {
    g,
    u,
    status: d.status,
    iterations,
    gradient: d.gradient,
    value: d.value,
    logEvidence: d.factor === undefined ? -Infinity : d.value + 0.5 * F * LN_2PI - 0.5 * choleskyLogDet(d.factor, F),
    factor: d.factor,
    hessian: d.hessian,
  };
}

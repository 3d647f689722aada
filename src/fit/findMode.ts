import { choleskyLogDet } from '../kernel/cholesky.js';
import { SEGMENTS } from '../kernel/levelLikelihood.js';
import { maximise, type MaximumDiary, type Objective } from '../kernel/newton.js';
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
const NODE_ROUNDS = 8;

/** From this round on, steps that the nodes held do not allow are looked for first. */
const FREE_ROUND = 2;

/** Share of 1 + |value| by which the value on nodes held may differ from that on nodes laid anew. */
const HELD_ERROR = 1e-6;

/**
 * The same, and the rise that a step must promise, where a staff's rating has a corner: the trapezoid rule knows the integral no better
 * there.
 */
const CORNER_HELD_ERROR = 1e-4;
const CORNER_RISE = 1e-6;

/**
 * Climb from `start` (all parameters) to the mode at grid point `g`. Nodes of the inner integral are laid at the start, held while
 * Newton's method climbs, and laid again until they no longer hold it back: where a precise staff leaves each visit a narrow window, the
 * top may lie outside of all of them, and the climb goes on with nodes laid for every step.
 *
 * @returns status `iteration-limit` where the nodes never settled.
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
  const objective =
    ({ held }: { held: boolean }): Objective =>
    (free, gradient, hessian) => {
      for (let a = 0; a < F; a++) u[plan.free[a]] = free[a];
      const laid = held ? undefined : problem.setNodes(u, g);
      if (gradient === undefined || hessian === undefined) return laid ?? problem.logPosterior(u, g);
      const value = problem.logPosterior(u, g, full);
      for (let a = 0; a < F; a++) {
        gradient[a] = full.gradient[plan.free[a]];
        for (let b = 0; b < F; b++) hessian[a * F + b] = full.hessian[plan.free[a] * U + plan.free[b]];
      }
      return value;
    };
  const corner = plan.featureKind.includes(SEGMENTS);
  const heldError = corner ? CORNER_HELD_ERROR : HELD_ERROR;
  const leastRise = corner ? Math.max(CORNER_RISE, tolerance * 1e-2) : tolerance * 1e-2;
  let iterations = 0;
  const climb = (held: boolean, riseTolerance: number): MaximumDiary => {
    const from = Float64Array.from(plan.free, (i) => u[i]);
    const diary = maximise(objective({ held }), from, {
      maxIterations,
      gradientTolerance: 1e-9,
      riseTolerance,
      maxStep: 1.5,
    });
    iterations += diary.iterations;
    for (let a = 0; a < F; a++) u[plan.free[a]] = diary.point[a];
    return diary;
  };
  problem.setNodes(u, g);
  let diary: MaximumDiary | undefined;
  let settled = false;
  for (let round = 0; round < NODE_ROUNDS && !settled; round++) {
    // Values on nodes laid anew each time are exact to about 1e-6: that far, and no further, they can lead.
    if (round === FREE_ROUND) {
      climb(false, heldError);
      problem.setNodes(u, g);
    }
    // A rise promised below the tolerance is below what the integral's own nodes leave uncertain.
    diary = climb(true, leastRise);
    const laid = problem.setNodes(u, g);
    settled = Math.abs(laid - diary.value) <= heldError * (1 + Math.abs(laid)) || diary.status === 'singular';
  }
  const d = diary!;
  return {
    g,
    u,
    status: settled ? d.status : 'iteration-limit',
    iterations,
    gradient: d.gradient,
    value: d.value,
    logEvidence: d.factor === undefined ? -Infinity : d.value + 0.5 * F * LN_2PI - 0.5 * choleskyLogDet(d.factor, F),
    factor: d.factor,
    hessian: d.hessian,
  };
}

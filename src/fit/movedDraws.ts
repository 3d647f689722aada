import { backSolve, choleskyLogDet } from '../kernel/cholesky.js';
import { paretoSmooth } from '../kernel/pareto.js';
import { findMode, type Mode } from './findMode.js';
import type { GridProblem } from './gridProblem.js';
import { biasPriorChange, observerSpreadGrid } from './observerSpread.js';
import { tidyDraws } from './tidyDraws.js';
import type { FitStatus, FittedFeature, LevelFit } from './types.js';
import type { WarmFamily } from './warmStart.js';

/** Draws by weight for one question. */
export interface RefitAnswer {
  /** Shared, like `draws` and `points`, between the answers of one family. */
  readonly features: readonly FittedFeature[];
  readonly draws: LevelFit['draws'];
  /** Grid point of each draw. */
  readonly points: Int32Array;
  /** Weight of each draw; sums to 1, 0 for draws that read the gauge at a lag this question may not use. */
  readonly weights: Float64Array;
  readonly paretoK: number;
  /** Effective number of draws, 1/Σw². */
  readonly effective: number;
}

/** As on the grid of the full fit: importance weights feel nothing smaller. */
const TOLERANCE = 1e-3;

/**
 * The draws of a warm start carried to the posterior of another problem. With m, L the mode and the factor of the precision (L Lᵀ) at the
 * anchor nearest to a draw's grid point g, and m', L' those of the new posterior:
 *
 *   u' = m_g + (m' - m) + L'⁻ᵀ Lᵀ (u - m_g),   ln weight = ln new(u') - ln old(u) + ln|L| - ln|L'|
 *
 * An affine map with a known Jacobian, so the weights are exact; with the skewness of the old posterior kept, they are nearly even.
 * Matching by an affine map: T. Paananen, J. Piironen, P.-C. Bürkner & A. Vehtari, "Implicitly adaptive importance sampling", Stat. Comput.
 * 31 (2021) 16 (from memory); there by moments, here by modes.
 *
 * @param options.sets grid points of each question.
 * @returns one answer a question; null without draws there. Status of the climb at the first question's likeliest point.
 */
export function movedDraws(
  problem: GridProblem,
  family: WarmFamily,
  { sets }: { sets: readonly Int32Array[] },
): { status: FitStatus; answers: readonly (RefitAnswer | null)[] } {
  const { plan, aligned } = problem;
  const { points, anchors, anchorOf, factors } = family;
  const draws = family.draws!;
  const F = plan.free.length;
  const U = plan.size;
  const D = draws.count;
  const n = aligned.visitIds.length;
  const modeOf = (place: number): Float64Array => family.u.subarray(place * U, (place + 1) * U);
  const climbed: Mode[] = Array.from(anchors, (place) =>
    findMode(problem, points[place], modeOf(place), { tolerance: TOLERANCE }),
  );
  const first = sets.find((set) => set.length > 0);
  const top = climbed[anchors.findIndex((place) => points[place] === first?.[0])];
  const status = top === undefined || top.factor === undefined ? 'singular' : top.status;

  const { omega, logPrior } = observerSpreadGrid(problem);
  const us = new Float64Array(D * U);
  const visitLogLik = new Float64Array(D * n);
  const logWeights = new Float64Array(D).fill(-Infinity);
  const step = new Float64Array(F);
  const shrink = climbed.map(({ factor }, a) =>
    factor === undefined
      ? NaN
      : choleskyHalf(factors.subarray(a * F * F, (a + 1) * F * F), F) - choleskyHalf(factor, F),
  );
  for (let d = 0; d < D; d++) {
    const place = draws.place[d];
    const a = anchorOf[place];
    const { factor, u: reached } = climbed[a];
    if (factor === undefined) continue;
    const from = modeOf(place);
    const anchor = modeOf(anchors[a]);
    const u = us.subarray(d * U, (d + 1) * U);
    u.set(draws.u.subarray(d * U, (d + 1) * U));
    for (let i = 0; i < F; i++) {
      // Row i of Lᵀ times (u - m_g).
      let z = 0;
      for (let k = i; k < F; k++) z += factors[a * F * F + k * F + i] * (u[plan.free[k]] - from[plan.free[k]]);
      step[i] = z;
    }
    backSolve(factor, F, step);
    let squares = 0;
    for (let i = 0; i < F; i++) {
      const r = plan.free[i];
      u[r] = from[r] + (reached[r] - anchor[r]) + step[i];
      if (r >= plan.bias) squares += u[r] * u[r];
    }
    const j = draws.spread[d];
    const target =
      problem.freshLogPosterior(u, points[place], visitLogLik.subarray(d * n, (d + 1) * n)) +
      biasPriorChange(problem, omega[j], squares) +
      logPrior[j];
    const weight = target - draws.logDensity[d] + shrink[a];
    if (weight === weight) logWeights[d] = weight;
  }
  const point = draws.place.map((place) => points[place]);
  const tidy = tidyDraws(problem, {
    count: D,
    g: point,
    u: us,
    omega: Float64Array.from(draws.spread, (j) => omega[j]),
    visitLogLik,
    paretoK: NaN,
    effective: NaN,
  });
  return {
    status,
    answers: sets.map((set) => {
      const mine = new Set(set);
      const at = Int32Array.from(point.keys()).filter((d) => mine.has(point[d]) && logWeights[d] > -Infinity);
      if (at.length === 0) return null;
      const smooth = paretoSmooth(Float64Array.from(at, (d) => logWeights[d]));
      const weights = new Float64Array(D);
      at.forEach((d, k) => (weights[d] = Math.exp(smooth.logWeights[k])));
      return Object.freeze({ ...tidy, points: point, weights, paretoK: smooth.k, effective: smooth.effective });
    }),
  };
}

/** ln|L| of a Cholesky factor. */
function choleskyHalf(factor: Float64Array, F: number): number {
  return 0.5 * choleskyLogDet(factor, F);
}

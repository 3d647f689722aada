import { createRandom } from '../kernel/random.js';
import type { PosteriorDraws } from './drawPosterior.js';
import type { Mode } from './findMode.js';
import { carry, driftSd, LASTING_GRID, lastingPosterior, offsetView, type LastingPosterior } from './lastingErrors.js';
import type { LevelGrid } from './levelGrid.js';
import type { Lasting } from './types.js';

/** Steps of this share of 1 put every entry of the grid to draws all over the list in their right number. */
const GOLDEN = 0.6180339887498949;

/**
 * Draws carried from errors of single visits to errors that last: each to an entry of the grid of shares, by evidence, and by the move and
 * the change of scale from the mode without to the mode with them. `visitLogLik` is that of each visit by itself at the draw moved.
 *
 * @param options.mode where the evidence is looked at.
 */
export function lastingDraws(
  { problem, modes }: LevelGrid,
  posterior: PosteriorDraws,
  { mode, seed }: { mode: Mode; seed: number },
): { readonly posterior: PosteriorDraws; readonly lasting: Lasting } {
  const { plan } = problem;
  const U = plan.size;
  const { factor } = mode;
  const view = offsetView(problem, mode);
  const entries = LASTING_GRID.map((shares) => lastingPosterior(mode, view, shares)).filter((e) => e !== undefined);
  const D = posterior.count;
  const atLast = new Float64Array(D);
  const sd = new Float64Array(D);
  const memoryDays = new Float64Array(D).fill(LASTING_GRID[0].days);
  if (factor === undefined || entries.length === 0)
    return {
      posterior,
      lasting: Object.freeze({
        aloneLogLik: posterior.visitLogLik,
        floodShare: 0,
        driftShare: 0,
        logBayesFactor: 0,
        atLast,
        sd,
        memoryDays,
      }),
    };

  const top = Math.max(...entries.map((e) => e.logEvidence));
  const weights = entries.map((e) => Math.exp(e.logEvidence - top));
  const total = weights.reduce((a, b) => a + b, 0);
  const mean = (of: (e: LastingPosterior) => number): number =>
    entries.reduce((sum, e, j) => sum + (weights[j] / total) * of(e), 0);
  const random = createRandom(seed);
  const start = random.uniform();
  const u = posterior.u.slice();
  const visitLogLik = posterior.visitLogLik.slice();
  const n = visitLogLik.length / D;
  for (let d = 0; d < D; d++) {
    const to = entries[entryAt(weights, total * ((start + d * GOLDEN) % 1))];
    const from = modes.get(posterior.g[d])!.u;
    const at = u.subarray(d * U, (d + 1) * U);
    carry(at, { from, factor, to, free: plan.free });
    problem.freshLogPosterior(at, posterior.g[d], visitLogLik.subarray(d * n, (d + 1) * n));
    const { drift } = to;
    const moved = plan.free.reduce((sum, r, a) => sum + drift.slope[a] * (at[r] - from[r]), 0);
    atLast[d] = drift.mean - moved + Math.sqrt(Math.max(0, drift.variance)) * random.normal();
    sd[d] = driftSd(view, to.shares);
    memoryDays[d] = to.shares.days;
  }
  return {
    posterior: { ...posterior, u, visitLogLik },
    lasting: Object.freeze({
      aloneLogLik: posterior.visitLogLik,
      floodShare: mean(({ shares }) => shares.flood),
      driftShare: mean(({ shares }) => shares.drift),
      logBayesFactor: top + Math.log(total / entries.length),
      atLast,
      sd,
      memoryDays,
    }),
  };
}

/** Which weight the running sum reaches `at` in. */
function entryAt(weights: readonly number[], at: number): number {
  let sum = 0;
  const found = weights.findIndex((w) => (sum += w) >= at);
  return found < 0 ? weights.length - 1 : found;
}

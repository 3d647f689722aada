import { paretoSmooth } from '../kernel/pareto.js';
import { createRandom } from '../kernel/random.js';
import { components, firstProposal, learnOnce, propose, systematic } from './drawPosterior.js';
import type { LevelGrid } from './levelGrid.js';
import { observerSpreadGrid } from './observerSpread.js';

/** Draws of the full posterior over some grid points, equally weighted under a density that is known at each (up to one factor for all). */
export interface WarmDraws {
  readonly count: number;
  /** Place of each draw's grid point among the family's points. */
  readonly place: Int32Array;
  /** Which ω of the grid of the observers' spread. */
  readonly spread: Int32Array;
  /** u[d·U + r]. */
  readonly u: Float64Array;
  /** ln of the density drawn from. */
  readonly logDensity: Float64Array;
}

/** Proposals per draw kept, and the draws that the proposal is learnt from before. */
const PROPOSALS_PER_DRAW = 3;
const LEARNING_DRAWS = 250;
const LEARNING_ROUNDS = 3;

/**
 * Draw from Σ_g share(g)·posterior(u | g), by importance from the mixture of Laplace normals.
 *
 * @param options.share of each grid point, summing to 1: any shares will do, whoever uses the draws weighs them by `logDensity`.
 * @param options.points what `place` counts.
 */
export function drawWarm(
  grid: LevelGrid,
  {
    share,
    points,
    count,
    seed,
  }: { share: ReadonlyMap<number, number>; points: Int32Array; count: number; seed: number },
): WarmDraws {
  const { problem } = grid;
  const U = problem.plan.size;
  const random = createRandom(seed);
  const parts = components(grid, share);
  let proposal = firstProposal(grid, parts);
  for (let round = 0; round < LEARNING_ROUNDS; round++)
    proposal = learnOnce(grid, parts, { proposal, count: LEARNING_DRAWS, random });
  const { partOf, us, logTargets, logWeights } = propose(grid, parts, {
    proposal,
    count: PROPOSALS_PER_DRAW * count,
    random,
  });
  const chosen = systematic(paretoSmooth(logWeights).logWeights.map(Math.exp), count, random.uniform());
  const { omega, logPrior } = observerSpreadGrid(problem);
  const out = {
    count,
    place: new Int32Array(count),
    spread: new Int32Array(count),
    u: new Float64Array(count * U),
    logDensity: new Float64Array(count),
  };
  for (let d = 0; d < count; d++) {
    const s = chosen[d];
    const { g, spread } = parts[partOf[s]];
    const j = omega.indexOf(spread.omega);
    out.place[d] = points.indexOf(g);
    out.spread[d] = j;
    out.u.set(us.subarray(s * U, (s + 1) * U), d * U);
    out.logDensity[d] = logTargets[s] + logPrior[j] + Math.log(share.get(g)!) - grid.logEvidence.get(g)!;
  }
  return out;
}

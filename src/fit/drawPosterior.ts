import { backSolve, choleskyLogDet } from '../kernel/cholesky.js';
import { paretoSmooth } from '../kernel/pareto.js';
import { createRandom, type Random } from '../kernel/random.js';
import type { LevelGrid } from './levelGrid.js';
import { drawFrom, learn, splitNormal, type Proposal } from './proposal.js';
import { biasPriorChange, moveSpread, observerSpreadGrid, type Spread } from './observerSpread.js';

/** Draws of all parameters with their grid point and each visit's ln likelihood; equally weighted after resampling. */
export interface PosteriorDraws {
  readonly count: number;
  /** Grid point of each draw. */
  readonly g: Int32Array;
  /** u[d·U + r]. */
  readonly u: Float64Array;
  /** ω of each draw. */
  readonly omega: Float64Array;
  readonly visitLogLik: Float64Array;
  readonly paretoK: number;
  readonly effective: number;
}

/** Proposals per draw kept: more proposals than draws, so that resampling repeats few of them. */
const PROPOSALS_PER_DRAW = 1.2;

/** The proposal is improved this many times, each by this share of the draws asked for, before the draws that count. */
const LEARNING_ROUNDS = 3;
const LEARNING_SHARE = 0.3;

/** Grid points below this share of the likeliest, and values of ω below this share of a point, are left out. */
const SMALLEST_SHARE = 1e-4;

/** Posterior probability of each point of a set by evidence; points without a mode have none. */
export function gridProbability(grid: LevelGrid, set: readonly number[]): Map<number, number> {
  let top = -Infinity;
  for (const g of set) top = Math.max(top, grid.logEvidence.get(g) ?? -Infinity);
  const out = new Map<number, number>();
  let sum = 0;
  for (const g of set) {
    const e = grid.logEvidence.get(g) ?? -Infinity;
    const p = e > -Infinity ? Math.exp(e - top) : 0;
    if (p > 0) out.set(g, p);
    sum += p;
  }
  for (const [g, p] of out) out.set(g, p / sum);
  return out;
}

/** A Laplace normal at a grid point and an ω, with its share of the mixture. */
export interface Component {
  readonly g: number;
  readonly share: number;
  readonly spread: Spread;
  readonly logDet: number;
}

/** Laplace normals over (grid point, ω): the share of each grid point in the mixture, split over ω by evidence. */
export function components(grid: LevelGrid, probability: ReadonlyMap<number, number>): Component[] {
  const { problem } = grid;
  const F = problem.plan.free.length;
  const spreads = observerSpreadGrid(problem);
  const out: Component[] = [];
  const least = SMALLEST_SHARE * Math.max(...probability.values());
  // Points that borrowed a mode share its normals, ω by ω; only their heights differ.
  const known = new Map<Float64Array, (Omit<Component, 'g' | 'share'> & { readonly weight: number })[]>();
  for (const [g, p] of [...probability].sort((a, b) => a[0] - b[0])) {
    if (p < least) continue;
    const mode = grid.modes.get(g)!;
    let moved = known.get(mode.hessian);
    if (moved === undefined) {
      moved = [];
      for (let j = 0; j < spreads.omega.length; j++) {
        const spread = moveSpread(problem, mode, spreads.omega[j]);
        if (spread === undefined) continue;
        const weight = Math.exp(spread.logEvidence + spreads.logPrior[j] - grid.logEvidence.get(g)!);
        if (weight < SMALLEST_SHARE) continue;
        const relative = { ...spread, logEvidence: spread.logEvidence - mode.value };
        moved.push({ spread: relative, weight, logDet: choleskyLogDet(spread.factor, F) });
      }
      known.set(mode.hessian, moved);
    }
    for (const { spread, weight, logDet } of moved)
      out.push({ g, share: p * weight, spread: { ...spread, logEvidence: spread.logEvidence + mode.value }, logDet });
  }
  return out;
}

/**
 * Draw from the mixture of Laplace normals over the grid points of `set` and the observers' spread, re-weight by importance
 * (Pareto-smoothed) and resample systematically to `count` equally weighted draws.
 */
export function drawPosterior(
  grid: LevelGrid,
  set: readonly number[],
  { count, seed }: { count: number; seed: number },
): PosteriorDraws {
  const { problem } = grid;
  const { plan, aligned } = problem;
  const U = plan.size;
  const n = aligned.visitIds.length;
  const random = createRandom(seed);
  const parts = components(grid, gridProbability(grid, set));
  let proposal = firstProposal(grid, parts);
  for (let round = 0; round < LEARNING_ROUNDS; round++)
    proposal = learnOnce(grid, parts, { proposal, count: Math.max(100, Math.ceil(LEARNING_SHARE * count)), random });
  const { partOf, us, logLik, logWeights } = propose(grid, parts, {
    proposal,
    count: Math.ceil(count * PROPOSALS_PER_DRAW),
    random,
  });
  const { logWeights: smooth, k: paretoK, effective } = paretoSmooth(logWeights);
  const chosen = systematic(smooth.map(Math.exp), count, random.uniform());
  const out = {
    count,
    g: new Int32Array(count),
    u: new Float64Array(count * U),
    omega: new Float64Array(count),
    visitLogLik: new Float64Array(count * n),
    paretoK,
    effective,
  };
  for (let d = 0; d < count; d++) {
    const s = chosen[d];
    out.g[d] = parts[partOf[s]].g;
    out.omega[d] = parts[partOf[s]].spread.omega;
    out.u.set(us.subarray(s * U, (s + 1) * U), d * U);
    out.visitLogLik.set(logLik.subarray(s * n, (s + 1) * n), d * n);
  }
  return out;
}

/** A proposal from the fall of the posterior around the likeliest component, used for all of them. */
export function firstProposal(grid: LevelGrid, parts: readonly Component[]): Proposal {
  const likeliest = parts.reduce((best, other) => (other.share > best.share ? other : best));
  const scratch = new Float64Array(grid.problem.plan.size);
  return splitNormal(grid.problem.plan.free.length, (z) => logTarget(grid, likeliest, { z, u: scratch }));
}

/** The proposal improved by `count` draws of it. */
export function learnOnce(
  grid: LevelGrid,
  parts: readonly Component[],
  { proposal, count, random }: { proposal: Proposal; count: number; random: Random },
): Proposal {
  const { z, logWeights } = propose(grid, parts, { proposal, count, random });
  return learn(proposal, { z, weights: paretoSmooth(logWeights).logWeights.map(Math.exp) });
}

/** ln posterior of a component's grid point and ω at the whitened place z, whose parameters are written to `u`. */
function logTarget(
  { problem, modes }: LevelGrid,
  { g, spread }: Component,
  { z, u, visits }: { z: Float64Array; u: Float64Array; visits?: Float64Array },
): number {
  const { plan } = problem;
  const F = plan.free.length;
  const step = z.slice();
  backSolve(spread.factor, F, step);
  u.set(modes.get(g)!.u);
  let squares = 0;
  for (let a = 0; a < F; a++) {
    const i = plan.free[a];
    u[i] += spread.shift[a] + step[a];
    if (i >= plan.bias) squares += u[i] * u[i];
  }
  return problem.freshLogPosterior(u, g, visits) + biasPriorChange(problem, spread.omega, squares);
}

/** Draws from the mixture by a proposal: component, whitened place, parameters, ln likelihood of each visit, ln of target over proposal. */
export function propose(
  grid: LevelGrid,
  parts: readonly Component[],
  { proposal, count, random }: { proposal: Proposal; count: number; random: Random },
): {
  partOf: Int32Array;
  z: Float64Array;
  us: Float64Array;
  logLik: Float64Array;
  logTargets: Float64Array;
  logWeights: Float64Array;
} {
  const { plan, aligned } = grid.problem;
  const U = plan.size;
  const F = plan.free.length;
  const n = aligned.visitIds.length;
  const partOf = systematic(
    parts.map((c) => c.share),
    count,
    random.uniform(),
  );
  const z = new Float64Array(count * F);
  const us = new Float64Array(count * U);
  const logLik = new Float64Array(count * n);
  const logTargets = new Float64Array(count);
  const logWeights = new Float64Array(count);
  for (let d = 0; d < count; d++) {
    const part = parts[partOf[d]];
    const at = z.subarray(d * F, (d + 1) * F);
    const logQ = drawFrom(random, proposal, at) + 0.5 * part.logDet;
    const target = logTarget(grid, part, {
      z: at,
      u: us.subarray(d * U, (d + 1) * U),
      visits: logLik.subarray(d * n, (d + 1) * n),
    });
    logTargets[d] = target;
    logWeights[d] = Number.isFinite(target) ? target - logQ - part.spread.logEvidence : -Infinity;
  }
  return { partOf, z, us, logLik, logTargets, logWeights };
}

/** Systematic resampling: `count` indices in ascending order, each index as often as its weight says to within one. */
export function systematic(weights: ArrayLike<number>, count: number, u: number): Int32Array {
  let total = 0;
  for (let s = 0; s < weights.length; s++) total += weights[s];
  const out = new Int32Array(count);
  let at = 0;
  let cumulative = weights[0] / total;
  for (let d = 0; d < count; d++) {
    const target = (d + u) / count;
    while (target > cumulative && at < weights.length - 1) cumulative += weights[++at] / total;
    out[d] = at;
  }
  return out;
}

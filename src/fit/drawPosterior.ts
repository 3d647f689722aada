import { backSolve, choleskyLogDet } from '../kernel/cholesky.js';
import { paretoSmooth } from '../kernel/pareto.js';
import { createRandom } from '../kernel/random.js';
import type { LevelGrid } from './levelGrid.js';
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

const LN_SQRT_2PI = 0.9189385332046728;

/** Proposals per draw kept: more proposals than draws, so that resampling repeats few of them. */
const PROPOSALS_PER_DRAW = 1.5;

/** The Laplace normals are widened a little: too narrow a proposal is what makes importance weights explode. */
const WIDEN = 1.06;

/** Mixture components below this share are left out. */
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

interface Component {
  readonly g: number;
  readonly share: number;
  readonly spread: Spread;
  readonly logDet: number;
}

/** Laplace normals over (grid point, ω), with their shares of the evidence. */
function components(grid: LevelGrid, set: readonly number[]): Component[] {
  const { problem } = grid;
  const F = problem.plan.free.length;
  const spreads = observerSpreadGrid(problem);
  const out: Component[] = [];
  for (const [g, p] of [...gridProbability(grid, set)].sort((a, b) => a[0] - b[0])) {
    if (p < SMALLEST_SHARE) continue;
    for (let j = 0; j < spreads.omega.length; j++) {
      const spread = moveSpread(problem, grid.modes.get(g)!, spreads.omega[j]);
      if (spread === undefined) continue;
      const share = p * Math.exp(spread.logEvidence + spreads.logPrior[j] - grid.logEvidence.get(g)!);
      if (share > SMALLEST_SHARE) out.push({ g, share, spread, logDet: choleskyLogDet(spread.factor, F) });
    }
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
  const F = plan.free.length;
  const n = aligned.visitIds.length;
  const random = createRandom(seed);
  const parts = components(grid, set);
  const S = Math.ceil(count * PROPOSALS_PER_DRAW);

  const partOf = systematic(
    parts.map((c) => c.share),
    S,
    random.uniform(),
  );
  const us = new Float64Array(S * U);
  const logLik = new Float64Array(S * n);
  const logWeights = new Float64Array(S);
  const z = new Float64Array(F);
  for (let d = 0; d < S; d++) {
    const { g, spread, logDet } = parts[partOf[d]];
    const mode = grid.modes.get(g)!;
    let square = 0;
    for (let a = 0; a < F; a++) {
      z[a] = random.normal();
      square += z[a] * z[a];
    }
    const logQ = -0.5 * square - F * (LN_SQRT_2PI + Math.log(WIDEN)) + 0.5 * logDet;
    backSolve(spread.factor, F, z);
    const u = us.subarray(d * U, (d + 1) * U);
    u.set(mode.u);
    let squares = 0;
    for (let a = 0; a < F; a++) {
      const i = plan.free[a];
      u[i] += spread.shift[a] + WIDEN * z[a];
      if (i >= plan.bias) squares += u[i] * u[i];
    }
    const target =
      problem.freshLogPosterior(u, g, logLik.subarray(d * n, (d + 1) * n)) +
      biasPriorChange(problem, spread.omega, squares);
    logWeights[d] = Number.isFinite(target) ? target - logQ - spread.logEvidence : -Infinity;
  }
  const smooth = paretoSmooth(logWeights);
  const chosen = systematic(Array.from(smooth.logWeights, Math.exp), count, random.uniform());
  const out = {
    count,
    g: new Int32Array(count),
    u: new Float64Array(count * U),
    omega: new Float64Array(count),
    visitLogLik: new Float64Array(count * n),
    paretoK: smooth.k,
    effective: smooth.effective,
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

/** Systematic resampling: `count` indices in ascending order, each index as often as its weight says to within one. */
function systematic(weights: readonly number[], count: number, u: number): Int32Array {
  const total = weights.reduce((a, b) => a + b, 0);
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

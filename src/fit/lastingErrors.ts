import { backSolve, choleskyFactor, choleskyLogDet, choleskySolve } from '../kernel/cholesky.js';
import { filterShared, type SharedNoise } from '../kernel/filterShared.js';
import type { Mode } from './findMode.js';
import type { GridProblem } from './gridProblem.js';
import { createChainRule } from './parameters.js';

/**
 * How much of the mismatch's variance the visits of one flood share, how much drifts, and after how many days a drift has fallen to 1/e.
 */
export interface LastingShares {
  readonly flood: number;
  readonly drift: number;
  readonly days: number;
}

/**
 * What is thought of lasting errors before the log is seen: every entry equally likely. In shares of σ², because what sets two waters apart
 * (their stores, their rain) sets them apart for days: on real pairs and in routed worlds a gauge that knows the creek badly errs for
 * longer, too.
 */
export const LASTING_GRID: readonly LastingShares[] = [0, 0.25].flatMap((flood) =>
  [0, 0.15, 0.3, 0.45, 0.6, 0.75].flatMap((drift) =>
    (drift === 0 ? [30] : [10, 45]).map((days) => ({ flood, drift, days })),
  ),
);

/** Visits that say less of an offset than this share of what an exact sight would are left out: they say nothing. */
const LEAST_SAID = 1e-4;

const DAY = 86_400_000;

/**
 * What the visits say of an offset of each visit, around a mode: residuals r = offset - B·(u - mode) + noise of variance 1/w, in time
 * order.
 */
export interface OffsetView {
  /** σ² at the mode. */
  readonly variance: number;
  readonly days: Float64Array;
  readonly flood: Int32Array;
  readonly w: Float64Array;
  /** Which free parameter ln σ is. */
  readonly lnSigma: number;
  /** Columns of the free parameters, then r. */
  readonly columns: readonly Float64Array[];
}

/** Looks at a mode: one pass of exact derivatives. */
export function offsetView(problem: GridProblem, mode: Mode): OffsetView {
  const { aligned, plan, likelihood } = problem;
  const { size: P, lnSigma, gamma } = likelihood.layout;
  const n = aligned.visitIds.length;
  const natural = problem.natural(mode.u);
  const side = problem.side(mode.g);
  // Where the limb term stands, x moves by it, and γ is the offset's.
  const limb = side.slope.map((v) => (v === v ? v : 0));
  const x = side.x.slice();
  for (let i = 0; i < n; i++)
    for (let q = aligned.nodeStart[i]; q < aligned.nodeStart[i + 1]; q++) x[q] += natural[gamma] * limb[i];
  natural[gamma] = 0;
  const moved = { ...side, x, slope: new Float64Array(n).fill(1) };
  const offsets = { gradient: new Float64Array(n), curvature: new Float64Array(n), cross: new Float64Array(n * P) };
  likelihood.setNodes(natural, moved);
  likelihood.derivatives(natural, moved, new Float64Array(P), new Float64Array(P * P), undefined, offsets);

  const variance = Math.exp(2 * natural[lnSigma]);
  const kept = Array.from({ length: n }, (_, i) => i).filter((i) => offsets.curvature[i] > LEAST_SAID / variance);
  const w = Float64Array.from(kept, (i) => offsets.curvature[i]);
  const columns = Array.from({ length: plan.free.length + 1 }, () => new Float64Array(kept.length));
  const chain = createChainRule(plan);
  const none = new Float64Array(P * P);
  const out = { gradient: new Float64Array(plan.size), hessian: new Float64Array(plan.size * plan.size) };
  kept.forEach((i, k) => {
    const row = offsets.cross.subarray(i * P, (i + 1) * P);
    row[gamma] = -w[k] * limb[i];
    chain(mode.u, { gradient: row, hessian: none }, out);
    plan.free.forEach((r, a) => (columns[a][k] = -out.gradient[r] / w[k]));
    columns[plan.free.length][k] = offsets.gradient[i] / w[k];
  });
  return {
    variance,
    days: Float64Array.from(kept, (i) => (aligned.visitTimesMs[i] - aligned.visitTimesMs[0]) / DAY),
    flood: Int32Array.from(kept, (i) => aligned.flood[i]),
    w,
    lnSigma: plan.free.indexOf(plan.lnSigma),
    columns,
  };
}

/** The posterior around a mode where errors last. */
export interface LastingPosterior {
  readonly shares: LastingShares;
  /** ln of its evidence over that of errors which do not last. */
  readonly logEvidence: number;
  /** From the old mode to the new one, and the factor of the new precision (F×F), over the free parameters. */
  readonly shift: Float64Array;
  readonly factor: Float64Array;
  /** The drift at the last visit: its mean at the old mode, what each free parameter takes from it, and its variance. */
  readonly drift: { readonly mean: number; readonly slope: Float64Array; readonly variance: number };
}

/** Sd of a drift, ln units of e. */
export function driftSd(view: OffsetView, { drift }: LastingShares): number {
  return Math.sqrt(drift * view.variance);
}

/** Variances of flood, drift and visit under shares of σ². What a visit's sightings leave open stays its own. */
export function noiseOf(view: OffsetView, { flood, drift, days }: LastingShares): SharedNoise {
  const { variance } = view;
  const own = (1 - flood - drift) * variance;
  return {
    times: view.days,
    group: view.flood,
    own: view.w.map((w) => Math.max(own, 1 / w - (flood + drift) * variance)),
    shared: flood * variance,
    drift: drift * variance,
    memory: days,
  };
}

/**
 * Laplace's approximation at a mode, carried on to errors that visits share: each visit's likelihood is a normal in an offset of its own,
 * with the variance 1/w that holds σ² whole; the lasting part of σ² is taken out of it and given to the flood and the drift. What one visit
 * says alone stays as it was.
 *
 * @returns undefined where the precision is no longer positive, or the new mode lies farther off than the old normal reaches (√F of its
 * sds).
 */
export function lastingPosterior(
  { factor, hessian }: Pick<Mode, 'factor' | 'hessian'>,
  view: OffsetView,
  shares: LastingShares,
): LastingPosterior | undefined {
  const F = view.columns.length - 1;
  if (factor === undefined) return undefined;
  const filtered = filterShared(noiseOf(view, shares), view.columns);
  const alone = (a: number, b: number): number =>
    view.w.reduce((sum, w, i) => sum + w * view.columns[a][i] * view.columns[b][i], 0);
  // Residuals change with ln σ as 2r, their weight as 1/σ²: of rᵀV⁻¹r/2 that leaves half the slope and half the bend that the columns would
  // give.
  const half = (a: number, b: number): number => (a === view.lnSigma && (b === a || b === F) ? 0.5 : 1);
  const change = (a: number, b: number): number => half(a, b) * (filtered.product(a, b) - alone(a, b));
  const precision = new Float64Array(F * F);
  for (let a = 0; a < F; a++) for (let b = 0; b <= a; b++) precision[a * F + b] = -hessian[a * F + b] + change(a, b);
  if (choleskyFactor(precision, F) !== 'ok') return undefined;
  const pull = Float64Array.from({ length: F }, (_, a) => change(a, F));
  const shift = pull.slice();
  choleskySolve(precision, F, shift);
  // Farther than the old spread reaches the parabola knows nothing.
  let far = 0;
  for (let i = 0; i < F; i++) {
    let z = 0;
    for (let k = i; k < F; k++) z += factor[k * F + i] * shift[k];
    far += z * z;
  }
  if (!(far <= F)) return undefined;
  const rise = pull.reduce((sum, p, a) => sum + p * shift[a], 0);
  const logDetAlone = -view.w.reduce((sum, w) => sum + Math.log(w), 0);
  return {
    shares,
    shift,
    factor: precision,
    logEvidence:
      0.5 *
      (logDetAlone - filtered.logDet + choleskyLogDet(factor, F) - choleskyLogDet(precision, F) + rise - change(F, F)),
    drift: {
      mean: filtered.last[F],
      slope: filtered.last.slice(0, F),
      variance: filtered.lastVariance,
    },
  };
}

/**
 * u carried from the normal (mean `from`, precision L Lᵀ) to that of a posterior with lasting errors: skew and all, in units of the spread.
 */
export function carry(
  u: Float64Array,
  { from, factor, to, free }: { from: Float64Array; factor: Float64Array; to: LastingPosterior; free: Int32Array },
): void {
  const F = free.length;
  const step = new Float64Array(F);
  for (let i = 0; i < F; i++) for (let k = i; k < F; k++) step[i] += factor[k * F + i] * (u[free[k]] - from[free[k]]);
  backSolve(to.factor, F, step);
  for (let a = 0; a < F; a++) u[free[a]] = from[free[a]] + to.shift[a] + step[a];
}

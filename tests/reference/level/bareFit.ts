import type { Aligned } from '../../../src/align/types.js';
import { findMode } from '../../../src/fit/findMode.js';
import { createGridProblem, type ProblemOptions } from '../../../src/fit/gridProblem.js';
import { choleskyFactor, choleskySolve } from '../../../src/kernel/cholesky.js';
import { BARE } from '../../fit/plainAligned.js';

/**
 * A bare fit of the level model in the words of cumulative link models: θ/s = threshold, 1/s = slope, b_o/s = effect of observer o against the
 * first, σ/s = sd of the random intercept.
 */
export interface BareFit {
  readonly logLik: number;
  /** Thresholds, slope, then observers' effects and the intercept's sd where they are free. */
  readonly coefficients: readonly number[];
  /** By the delta method from the Hessian at the maximum. */
  readonly standardErrors: readonly number[];
  /** Edges on the scale of x. */
  readonly edges: readonly number[];
}

/** Maximum likelihood, no priors, of a model with one feature. With `bias` the first observer's is held at 0. */
export function bareFit(aligned: Aligned, options: Partial<ProblemOptions> = {}): BareFit {
  const all = createGridProblem(aligned, { ...BARE, ...options });
  const free = all.plan.free.filter((i) => i !== all.plan.bias);
  const problem = { ...all, plan: { ...all.plan, free } };
  const mode = findMode(problem, 0, problem.start(0), { tolerance: 1e-12, maxIterations: 200 });
  if (mode.status !== 'converged') throw new Error(`bareFit: the climb ended as ${mode.status}`);
  const K = aligned.features[0].classes.length;
  const { plan } = problem;
  const F = free.length;
  const words = (u: Float64Array): number[] => {
    const natural = problem.natural(u);
    const s = Math.exp(natural[K - 1]);
    const out = Array.from(natural.subarray(0, K - 1), (edge) => edge / s);
    out.push(1 / s);
    if (all.options.bias) for (let o = 1; o < plan.observers; o++) out.push(natural[plan.bias + o] / s);
    if (all.options.mismatch) out.push(Math.exp(natural[plan.lnSigma]) / s);
    return out;
  };
  const coefficients = words(mode.u);
  const slopes = Array.from(free, (i) => {
    const h = 1e-5;
    const at = (by: number) => words(mode.u.map((v, r) => (r === i ? v + by : v)));
    const down = at(-h);
    return at(h).map((v, r) => (v - down[r]) / (2 * h));
  });
  const factor = mode.hessian.map((h) => -h);
  if (choleskyFactor(factor, F) !== 'ok') throw new Error('bareFit: no maximum');
  const standardErrors = coefficients.map((_, r) => {
    const row = Float64Array.from(slopes, (s) => s[r]);
    const solved = row.slice();
    choleskySolve(factor, F, solved);
    return Math.sqrt(row.reduce((sum, v, a) => sum + v * solved[a], 0));
  });
  return {
    logLik: mode.value,
    coefficients,
    standardErrors,
    edges: Array.from(problem.natural(mode.u).subarray(0, K - 1)),
  };
}

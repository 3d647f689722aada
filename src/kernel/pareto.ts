/**
 * Pareto smoothed importance sampling: A. Vehtari, D. Simpson, A. Gelman, Y. Yao & J. Gabry, "Pareto smoothed importance
 * sampling", J. Mach. Learn. Res. 25 (2024) no. 72; the tail fit is J. Zhang & M. A. Stephens, "A new and efficient
 * estimation method for the generalized Pareto distribution", Technometrics 51 (2009) 316-325. Formulas from memory.
 */

/** Generalised Pareto distribution of exceedances: P(X > x) = (1 + k·x/scale)^(-1/k), k = 0: exponential. */
export interface ParetoTail {
  readonly k: number;
  readonly scale: number;
}

export interface SmoothedWeights {
  /** ln of the smoothed weights, normalised: their exponentials sum to 1. Same order as the input. */
  readonly logWeights: Float64Array;
  /** Shape of the tail, pulled a little towards 1/2; Infinity where the tail is too short to fit. */
  readonly k: number;
  /** k̂ up to here and the weighted draws can be relied on: min(1 - 1/log10 S, 0.7). */
  readonly threshold: number;
  /** Effective number of draws, 1/Σw². */
  readonly effective: number;
}

/** Fewer tail draws than this are not fitted. */
const SHORTEST_TAIL = 5;

/**
 * Fits the generalised Pareto distribution to exceedances by Zhang & Stephens' quasi-Bayesian rule: the profile likelihood
 * of θ = k/scale averaged over a grid of 30 + ⌊√n⌋ values from their data-driven prior. No iteration, so it can't fail to
 * converge. (Sign of k as above: heavy tails have k > 0.)
 * @param sorted n > 1 exceedances, ascending, the last one positive; NaN for both results otherwise
 */
export function fitParetoTail(sorted: Float64Array): ParetoTail {
  const n = sorted.length;
  const top = n > 1 ? sorted[n - 1] : NaN;
  if (!(top > 0)) return { k: NaN, scale: NaN };
  const grid = 30 + Math.floor(Math.sqrt(n));
  // The prior's scale is the lower quartile; where that is 0 (ties at the cutoff) the first positive value.
  let quarter = sorted[Math.floor(n / 4 + 0.5) - 1];
  for (let i = 0; !(quarter > 0); i++) quarter = sorted[i];
  const theta = new Float64Array(grid);
  const profile = new Float64Array(grid);
  let best = -Infinity;
  for (let j = 0; j < grid; j++) {
    theta[j] = -1 / top - (1 - Math.sqrt(grid / (j + 0.5))) / (3 * quarter);
    const k = meanLog1p(theta[j], sorted);
    profile[j] = n * (Math.log(theta[j] / k) - k - 1);
    if (profile[j] > best) best = profile[j];
  }
  let total = 0;
  let weighted = 0;
  for (let j = 0; j < grid; j++) {
    const weight = Math.exp(profile[j] - best);
    if (!(weight > 0)) continue;
    total += weight;
    weighted += weight * theta[j];
  }
  const mean = weighted / total;
  const k = meanLog1p(mean, sorted);
  return { k, scale: k / mean };
}

function meanLog1p(theta: number, x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += Math.log1p(theta * x[i]);
  return sum / x.length;
}

/**
 * Smooths importance weights: the largest min(S/5, 3√S) of them are replaced by the quantiles of a generalised Pareto
 * distribution fitted to them, never above the largest raw weight, and all are normalised.
 * @param logWeights S logarithms of raw weights, up to a constant; -Infinity is weight 0
 * @returns with fewer than 5 tail draws (S < 25): weights only normalised, k Infinity. All weights equal: k is -Infinity,
 *   there is no tail.
 * @throws RangeError when no weight is positive or one is NaN or +Infinity
 * @example paretoSmooth(new Float64Array(100)).effective // 100
 */
export function paretoSmooth(logWeights: Float64Array): SmoothedWeights {
  const S = logWeights.length;
  let most = -Infinity;
  for (let s = 0; s < S; s++) {
    if (!(logWeights[s] < Infinity))
      throw new RangeError(`paretoSmooth: log weights must be below Infinity, got ${logWeights[s]} at ${s}`);
    if (logWeights[s] > most) most = logWeights[s];
  }
  if (!(most > -Infinity)) throw new RangeError('paretoSmooth: no weight is positive');
  const out = new Float64Array(S);
  for (let s = 0; s < S; s++) out[s] = logWeights[s] - most;
  const k = smoothTail(out);
  let sum = 0;
  for (let s = 0; s < S; s++) sum += Math.exp(out[s]);
  const logSum = Math.log(sum);
  let squares = 0;
  for (let s = 0; s < S; s++) {
    out[s] -= logSum;
    squares += Math.exp(2 * out[s]);
  }
  return { logWeights: out, k, threshold: Math.min(1 - 1 / Math.log10(S), 0.7), effective: 1 / squares };
}

/** Replaces the tail of log weights whose largest is 0; returns k̂. */
function smoothTail(log: Float64Array): number {
  const S = log.length;
  const M = Math.ceil(Math.min(0.2 * S, 3 * Math.sqrt(S)));
  if (M < SHORTEST_TAIL) return Infinity;
  const order = Uint32Array.from(log.keys()).sort((i, j) => log[i] - log[j] || i - j);
  const tail = order.subarray(S - M);
  // The cutoff is the largest weight outside the tail.
  const cutoff = Math.exp(log[order[S - M - 1]]);
  const exceedances = new Float64Array(M);
  for (let z = 0; z < M; z++) exceedances[z] = Math.exp(log[tail[z]]) - cutoff;
  if (!(exceedances[M - 1] > 0)) return -Infinity;
  const fit = fitParetoTail(exceedances);
  // The weakly informative prior of the 2024 paper: ten draws' worth of k = 1/2.
  const k = (fit.k * M + 5) / (M + 10);
  for (let z = 0; z < M; z++) {
    const p = (z + 0.5) / M;
    const quantile = k === 0 ? -Math.log1p(-p) : Math.expm1(-k * Math.log1p(-p)) / k;
    log[tail[z]] = Math.min(0, Math.log(cutoff + fit.scale * quantile));
  }
  return k;
}

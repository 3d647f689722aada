import {
  aboveValue,
  GROWING,
  LINE,
  SEGMENTS,
  slopeAt,
  twoSegments,
  withGross,
  type GaugeSide,
} from '../kernel/levelLikelihood.js';
import { logCell } from '../kernel/link.js';
import type { GridProblem } from './gridProblem.js';

/**
 * A grid point's prospect: the profiled ln likelihood and the affine map from its x to the reference state, c = alpha + beta·x + N(0,
 * sigma²).
 */
export interface Prospect {
  readonly logLik: number;
  readonly alpha: number;
  readonly beta: number;
  readonly sigma: number;
}

/** Spacing of the state grid in units of the reference mismatch: the Gaussian that is summed over it is no narrower than half of that. */
const SPACING = 0.4;
const ITERATIONS = 3;
const SQRT_2PI = 2.5066282746310002;

/**
 * How well each grid point could do, cheaply: what the sightings say about each visit's state c is tabulated once at a reference mode
 * (edges, blur, bias held there); for a grid point only the line c = α + βx and its scatter σ are fitted (EM, which never goes
 * down). The result is a lower bound on the fully fitted likelihood, good enough to leave out points far below the best.
 *
 * @param reference all parameters of a mode (plan.size) found at grid point `g`.
 * @returns a function from a grid point and a starting map to its prospect.
 */
export function createScreen(
  problem: GridProblem,
  reference: { readonly u: Float64Array; readonly g: number },
): (g: number, from?: Prospect) => Prospect {
  const { aligned, plan, options } = problem;
  const n = aligned.visitIds.length;
  const natural = problem.natural(reference.u);
  const side = problem.side(reference.g);
  const sigma0 = options.mismatch ? Math.exp(natural[plan.lnSigma]) : 0.1 * options.scale;
  let lo = Infinity;
  let hi = -Infinity;
  for (const v of side.x) {
    if (!(v === v)) continue;
    lo = Math.min(lo, v);
    hi = Math.max(hi, v);
  }
  lo -= 5 * sigma0;
  hi += 5 * sigma0;
  const step = Math.max(SPACING * sigma0, (hi - lo) / 200);
  const M = Math.ceil((hi - lo) / step) + 1;
  const table = tabulate(problem, natural, side, { lo, step, M });
  const N = aligned.nodeWeight.length;
  const mid = new Float64Array(n);

  return (g, from = { logLik: -Infinity, alpha: 0, beta: 1, sigma: sigma0 }) => {
    // The window's mean stands for its nodes: the screen only ranks.
    let known = 0;
    for (let i = 0; i < n; i++) {
      let sum = 0;
      let weight = 0;
      for (let q = aligned.nodeStart[i]; q < aligned.nodeStart[i + 1]; q++) {
        const x = aligned.x[g * N + q];
        if (x === x) {
          sum += aligned.nodeWeight[q] * x;
          weight += aligned.nodeWeight[q];
        }
      }
      mid[i] = weight > 0 ? sum / weight : NaN;
      if (weight > 0) known++;
    }
    if (known < 3) return { ...from, logLik: -Infinity };
    let { alpha, beta, sigma } = from;
    let logLik = -Infinity;
    for (let round = 0; round < ITERATIONS; round++) {
      let sx = 0;
      let sm = 0;
      let sxx = 0;
      let sxm = 0;
      let smm = 0;
      let sv = 0;
      logLik = 0;
      const norm = step / (sigma * 2.5066282746310002);
      const w = -0.5 / (sigma * sigma);
      const shrink = Math.exp(2 * w * step * step);
      for (let i = 0; i < n; i++) {
        const x = mid[i];
        const mean = x === x ? alpha + beta * x : NaN;
        let s0 = 0;
        let s1 = 0;
        let s2 = 0;
        const row = i * M;
        if (x === x) {
          // A Gaussian on a lattice, outwards from its top: each value from the one before by two factors.
          const top = Math.min(M - 1, Math.max(0, Math.round((mean - lo) / step)));
          const d0 = lo + top * step - mean;
          const peak = Math.exp(w * d0 * d0);
          let g = peak;
          let r = Math.exp(w * step * (2 * d0 + step));
          for (let k = top; k < M && g > 1e-6 * peak; k++) {
            const d = lo + k * step - mean;
            const t = table[row + k] * g;
            s0 += t;
            s1 += t * d;
            s2 += t * d * d;
            g *= r;
            r *= shrink;
          }
          r = Math.exp(w * step * (step - 2 * d0));
          g = peak * r;
          for (let k = top - 1; k >= 0 && g > 1e-6 * peak; k--) {
            const d = lo + k * step - mean;
            const t = table[row + k] * g;
            s0 += t;
            s1 += t * d;
            s2 += t * d * d;
            r *= shrink;
            g *= r;
          }
          s0 = Math.max(s0, 1e-300);
          logLik += Math.log(s0 * norm);
          const m = s1 / s0;
          const v = Math.max(0, s2 / s0 - m * m);
          const c = mean + m;
          sx += x;
          sm += c;
          sxx += x * x;
          sxm += x * c;
          smm += c * c;
          sv += v;
        } else {
          // Without a gauge value the visit is worth what any visit is: the same for every map.
          for (let k = 0; k < M; k++) s0 += table[row + k];
          logLik += Math.log(Math.max(s0 / M, 1e-300));
        }
      }
      const mx = sx / known;
      const mm = sm / known;
      const vx = sxx / known - mx * mx;
      beta = vx > 1e-12 ? Math.max(0.05, (sxm / known - mx * mm) / vx) : 1;
      alpha = mm - beta * mx;
      const residual = smm / known - mm * mm - 2 * beta * (sxm / known - mx * mm) + beta * beta * vx;
      sigma = Math.max(Math.sqrt(Math.max(0, residual) + sv / known), 0.5 * step);
    }
    return { logLik, alpha, beta, sigma };
  };
}

/** Π_j P(sighting j | c) of each visit on a grid of c, each visit's largest scaled to 1 only in logs (kept exact: nothing is dropped). */
function tabulate(
  problem: GridProblem,
  natural: Float64Array,
  side: GaugeSide,
  grid: { lo: number; step: number; M: number },
): Float64Array {
  const { aligned, plan, options } = problem;
  const n = aligned.visitIds.length;
  const table = new Float64Array(n * grid.M);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < grid.M; k++) {
      let g = 0;
      for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) {
        const f = aligned.sightingFeature[j];
        const K = plan.featureKind[f];
        const st = plan.featureStart[f];
        const lambda = problem.likelihood.featureGross[f];
        const y = grid.lo + k * grid.step + side.shift[j] + natural[plan.natural.bias + aligned.sightingObserver[j]];
        if (K > 0) {
          // At least one step of blur: a cell narrower than the grid would fall between its points.
          const s = Math.max(Math.exp(natural[st + K - 1]), 0.5 * grid.step);
          const c = aligned.sightingClass[j];
          const below = c > 0 ? (natural[st + c - 1] - y) / s : -Infinity;
          const above = c < K - 1 ? (natural[st + c] - y) / s : Infinity;
          g += withGross(logCell(below, above, options.link), lambda);
        } else if (K === SEGMENTS) {
          const rating = twoSegments(natural, st, problem.likelihood.featureBreak[f]);
          const t = y - problem.centre;
          const eta = Math.max(Math.exp(natural[st + 5]), 0.5 * grid.step * slopeAt(rating, t));
          const r = (aligned.sightingValue[j] - natural[st] - aboveValue(rating, t)) / eta;
          g += withGross(-0.5 * r * r, SQRT_2PI * eta * lambda);
        } else {
          const power = K !== LINE;
          const beta = Math.exp(natural[st + 1]);
          const t = y - problem.centre;
          const p = power ? Math.exp(natural[st + 2]) : 1;
          const mean = natural[st] + beta * (power ? p * Math.expm1(t / p) : t);
          const slope = power ? beta * Math.exp(t / p) : beta;
          const known = natural[st + (power ? 3 : 2)] + (K === GROWING ? t / p : 0);
          const eta = Math.max(Math.exp(known), 0.5 * grid.step * slope);
          const r = (aligned.sightingValue[j] - mean) / eta;
          g += withGross(-0.5 * r * r, SQRT_2PI * eta * lambda);
          // A noise that is the same everywhere leaves the places' order alone.
          if (K === GROWING) g -= Math.log(eta);
        }
      }
      table[i * grid.M + k] = Math.exp(g);
    }
  return table;
}

/** A reference mode carried to a grid point by its map: a warm start for the full fit. */
export function carry(problem: GridProblem, u: Float64Array, prospect: Prospect): Float64Array {
  const { plan } = problem;
  const { alpha, beta, sigma } = prospect;
  // A slope near nothing says that the gauge says nothing: stretching the edges by its inverse would start at the end of the world.
  if (!(beta > 0.3 && beta < 3.3)) return u.slice();
  const out = u.slice();
  const lnBeta = Math.log(beta);
  for (let f = 0; f < plan.featureKind.length; f++) {
    const s = plan.featureStart[f];
    const K = plan.featureKind[f];
    if (K > 0) {
      out[s] = (u[s] - alpha) / beta;
      for (let k = 1; k < K; k++) out[s + k] = u[s + k] - lnBeta;
    } else out[s + 1] = u[s + 1] + lnBeta;
  }
  out[plan.lnSigma] = Math.log(sigma / beta);
  return out;
}

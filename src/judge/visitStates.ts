import type { Aligned } from '../align/types.js';
import type { FittedFeature, LevelFit } from '../fit/types.js';
import { logCell } from '../kernel/link.js';

/** Steps of δ are split until a node is at most this share of the narrowest factor: the trapezoid rule then errs by exp(-2π²/0.6²) at most. */
const NODE_SHARE = 0.6;
const MOST_SPLITS = 24;
/** Normal factors are cut this many sds out. */
const REACH_SDS = 6;

/** Equidistant shifts δ_k = (k - half)·step, k = 0 … 2·half. */
export interface ShiftGrid {
  readonly half: number;
  readonly step: number;
}

/** One visit under one draw. */
export interface VisitState {
  /** ln L_i(δ_k) for each share of σ asked for, one after the other; all 0 for a visit without a reading. */
  readonly logLik: Float64Array;
  /** Posterior mean of the state minus the gauge's x, δ = 0, whole σ; NaN without a reading. */
  readonly residual: number;
}

/**
 * The likelihood of one visit's sightings had the creek's state stood δ above what the gauge says:
 *   L_i(δ) = ∫ Σ_q w_q N(c; x_q + γ v + δ, σ²) Π_j P(saw_j | c + d_j + b_o) dc,
 * under draw d, for all δ of a grid at once: the product over sightings is tabled on a lattice of c that δ's grid is part of, and each δ is one sum against
 * a kernel that stands still. At δ = 0 it is the fit's own likelihood of the visit.
 *
 * @param at which visit under which draw; `point` the draw's grid point.
 * @param options.sigmaShares multiples of the draw's σ to do it for.
 */
export function visitState(
  { fit, aligned, visit, draw, point }: { fit: LevelFit; aligned: Aligned; visit: number; draw: number; point: number },
  { grid, sigmaShares }: { grid: ShiftGrid; sigmaShares: readonly number[] },
): VisitState {
  const size = 2 * grid.half + 1;
  const logLik = new Float64Array(size * sigmaShares.length);
  const gauge = readingsOf({ fit, aligned, visit, draw, point });
  if (gauge.x.length === 0) return { logLik, residual: NaN };
  const { centre } = gauge;
  const off = gauge.x.map((x) => x - centre);
  const spread = off.reduce((most, o) => Math.max(most, Math.abs(o)), 0);
  const sigma = fit.draws.mismatch[draw];
  const least = sigma * Math.min(...sigmaShares);

  const from = aligned.sightingStart[visit];
  const to = aligned.sightingStart[visit + 1];
  let curvature = 1 / (least * least);
  for (let j = from; j < to; j++) {
    const s = widthOf(fit.features[aligned.sightingFeature[j]], { draw, saw: aligned.sightingValue[j] });
    curvature += 1 / (s * s);
  }
  const splits = Math.min(MOST_SPLITS, Math.max(1, Math.ceil((grid.step * Math.sqrt(curvature)) / NODE_SHARE)));
  const h = grid.step / splits;
  const reach = Math.ceil((REACH_SDS * sigma * Math.max(...sigmaShares) + spread) / h);
  const halfC = grid.half * splits + reach;

  // ln Π_j P_j on the lattice c = centre + k·h, then plain and scaled by its largest value.
  const seen = new Float64Array(2 * halfC + 1);
  for (let j = from; j < to; j++)
    addSighting(seen, { fit, aligned, draw, point, sighting: j, lowest: centre - halfC * h, h });
  let top = -Infinity;
  for (const v of seen) if (v > top) top = v;
  if (top === -Infinity) return { logLik: logLik.fill(-Infinity), residual: 0 };
  for (let k = 0; k < seen.length; k++) seen[k] = Math.exp(seen[k] - top);

  let residual = 0;
  sigmaShares.forEach((share, r) => {
    const sd = sigma * share;
    const scale = h / (sd * Math.sqrt(2 * Math.PI));
    const kernel = new Float64Array(2 * reach + 1);
    let moment = 0;
    let mass = 0;
    for (let k = -reach; k <= reach; k++)
      for (let q = 0; q < off.length; q++) {
        const apart = k * h - off[q];
        const value = gauge.weight[q] * scale * Math.exp(-0.5 * (apart / sd) ** 2);
        kernel[k + reach] += value;
        if (share !== 1) continue;
        moment += value * apart * seen[halfC + k];
        mass += value * seen[halfC + k];
      }
    if (share === 1) residual = mass > 0 ? moment / mass : 0;
    for (let k = 0; k < size; k++) {
      const start = halfC + (k - grid.half) * splits - reach;
      let sum = 0;
      for (let t = 0; t < kernel.length; t++) sum += kernel[t] * seen[start + t];
      logLik[r * size + k] = Math.log(sum) + top;
    }
  });
  return { logLik, residual };
}

/** Matched x_q + γ v of a visit at the draw's grid point, weights summing to 1, and their mean. */
function readingsOf({ fit, aligned, visit, draw, point }: Parameters<typeof visitState>[0]): {
  x: number[];
  weight: number[];
  centre: number;
} {
  const N = aligned.nodeWeight.length;
  const slope = aligned.slope[point * aligned.visitIds.length + visit];
  const moved = slope === slope ? fit.draws.limb[draw] * slope : 0;
  const x: number[] = [];
  const weight: number[] = [];
  let total = 0;
  for (let node = aligned.nodeStart[visit]; node < aligned.nodeStart[visit + 1]; node++) {
    const value = aligned.x[point * N + node];
    if (!(value === value)) continue;
    x.push(value + moved);
    weight.push(aligned.nodeWeight[node]);
    total += aligned.nodeWeight[node];
  }
  const shares = weight.map((w) => w / total);
  return { x, weight: shares, centre: x.reduce((sum, v, q) => sum + shares[q] * v, 0) };
}

/** About how sharply one sighting speaks of c, ln units. */
function widthOf(feature: FittedFeature, { draw, saw }: { draw: number; saw: number }): number {
  if (feature.rating === undefined) return feature.blur[draw];
  const { form, base, p, noise } = feature.rating;
  // The rating's slope at the reading; near its foot, where it is flat, at the noise above it.
  const slope = form === 'line' ? 1 / p[draw] : Math.max(saw - base[draw], noise[draw]) / p[draw];
  return noise[draw] / slope;
}

/** Adds ln P(saw | c) of a sighting at every lattice value of c. */
function addSighting(
  out: Float64Array,
  {
    fit,
    aligned,
    draw,
    point,
    sighting: j,
    lowest,
    h,
  }: { fit: LevelFit; aligned: Aligned; draw: number; point: number; sighting: number; lowest: number; h: number },
): void {
  const feature = fit.features[aligned.sightingFeature[j]];
  const observer = aligned.sightingObserver[j];
  const y0 =
    lowest +
    aligned.shift[point * aligned.sightingRow.length + j] +
    fit.draws.bias[draw * aligned.observers.length + observer];
  if (feature.rating !== undefined) {
    const { form, base, a, p, noise } = feature.rating;
    const lnScale = Math.log(noise[draw] * Math.sqrt(2 * Math.PI));
    for (let k = 0; k < out.length; k++) {
      const z = (y0 + k * h - a[draw]) / p[draw];
      const off = (aligned.sightingValue[j] - base[draw] - (form === 'power' ? Math.exp(z) : z)) / noise[draw];
      out[k] -= 0.5 * off * off + lnScale;
    }
    return;
  }
  const edges = feature.classes.length - 1;
  const seen = aligned.sightingClass[j];
  const s = feature.blur[draw];
  const code = fit.link === 'logit' ? 1 : 0;
  const low = seen > 0 ? feature.edges[draw * edges + seen - 1] : -Infinity;
  const high = seen < edges ? feature.edges[draw * edges + seen] : Infinity;
  for (let k = 0; k < out.length; k++) out[k] += logCell((low - y0 - k * h) / s, (high - y0 - k * h) / s, code);
}

import type { Aligned } from '../align/types.js';
import { ratingAt, ratingSlope, stateAt } from '../fit/ratingAt.js';
import type { FittedFeature, LevelFit } from '../fit/types.js';
import { withGross } from '../kernel/levelLikelihood.js';
import { logCell } from '../kernel/link.js';

/**
 * Steps of δ are split until a node is at most this share of the narrowest factor: on smooth factors the trapezoid rule then errs by
 * exp(-2π²/0.9²) = 3e-11 at most.
 */
const NODE_SHARE = 0.9;
/**
 * A staff that may have been read on either side of its rating's corner counts as that much narrower: there the error falls with the
 * square of the step only.
 */
const CORNER_SHARE = 0.25;
/** Noise sds within which it may have been. */
const CORNER_REACH = 4;
const MOST_SPLITS = 24;
/** Normal factors are cut this many sds out. */
const REACH_SDS = 6;
/** Share of a product's top that adds nothing to any sum that is looked at. */
const NEGLIGIBLE = 1e-100;
/** ln of what double precision takes for 0. */
const IMPOSSIBLE = -745;

/** Equidistant shifts δ_k = (k - half)·step, k = 0 … 2·half. */
export interface ShiftGrid {
  readonly half: number;
  readonly step: number;
}

/** Equidistant shifts δ_k = (k - below)·step, k = 0 … below + above. */
export interface ShiftRange {
  readonly below: number;
  readonly above: number;
  readonly step: number;
}

/** A sighting of the visit taken as another: `aligned` holds what it would be. */
export interface ChangedSighting {
  readonly sighting: number;
  readonly aligned: Aligned;
}

/** One visit under one draw. */
export interface VisitState {
  /** ln L_i(δ_k) for each share of σ asked for, one after the other; all 0 for a visit without a reading. */
  readonly logLik: Float64Array;
  /** Posterior mean of the state minus the gauge's x, δ = 0, whole σ; NaN without a reading. */
  readonly residual: number;
  /** ln L_i(0) with each of the changes asked for, by the first share. */
  readonly changed: Float64Array;
}

/** Which visit under which draw; `point` is the draw's grid point. */
interface At {
  readonly fit: LevelFit;
  readonly aligned: Aligned;
  readonly visit: number;
  readonly draw: number;
  readonly point: number;
}

/**
 * The likelihood of one visit's sightings had the creek's state stood δ above what the gauge says:
 *   L_i(δ) = ∫ Σ_q w_q N(c; x_q + γ v + δ, σ²) Π_j P(saw_j | c + d_j + b_o) dc,
 * under draw d, for all δ of a grid at once: the product over sightings is tabled on a lattice of c that δ's grid is part of, and each
 * δ is one sum against
 * a kernel that stands still. At δ = 0 it is the fit's own likelihood of the visit.
 *
 * @param at which visit under which draw; `point` the draw's grid point.
 * @param options.range the δ asked for. @param options.sigmaShares multiples of the draw's σ to do it for.
 * @param options.changes sightings of the visit to be taken as others, one at a time; default none. A number that becomes NaN, and a
 * class that becomes -1, was not seen at all.
 * @param options.gross whether a sighting may be grossly wrong, as in the fit; default true.
 */
export function visitState(
  at: At,
  {
    range,
    sigmaShares,
    changes = [],
    gross = true,
  }: {
    range: ShiftRange;
    sigmaShares: readonly number[];
    changes?: readonly ChangedSighting[];
    gross?: boolean;
  },
): VisitState {
  const { fit, aligned, visit, draw, point } = at;
  const size = range.below + range.above + 1;
  const logLik = new Float64Array(size * sigmaShares.length);
  const changed = new Float64Array(changes.length);
  const gauge = readingsOf(at);
  if (gauge.x.length === 0) return { logLik, residual: NaN, changed };
  const { centre } = gauge;
  const off = gauge.x.map((x) => x - centre);
  const spread = off.reduce((most, o) => Math.max(most, Math.abs(o)), 0);
  const sigma = fit.draws.mismatch[draw];

  const from = aligned.sightingStart[visit];
  const count = aligned.sightingStart[visit + 1] - from;
  const nodes = { step: range.step, least: sigma * Math.min(...sigmaShares) };
  const splits = splitsOf(at, nodes);
  const h = range.step / splits;
  const reachOf = (share: number): number => Math.ceil((REACH_SDS * sigma * share + spread) / h);
  const reach = reachOf(Math.max(...sigmaShares));

  // ln P_j of each sighting on the lattice c = centre + (k - here)·h, then their product, plain and scaled by its largest value.
  const here = range.below * splits + reach;
  const length = here + range.above * splits + reach + 1;
  const lattice = { draw, point, fit, lowest: centre - here * h, h, gross };
  const each = Array.from({ length: count }, (_, j) =>
    logSighting(new Float64Array(length), { ...lattice, aligned, sighting: from + j }),
  );
  const product = scaledProduct(each, length);
  const { top } = product;
  if (top === -Infinity) logLik.fill(-Infinity);

  let residual = 0;
  sigmaShares.forEach((share, r) => {
    const own = reachOf(share);
    const { kernel, apart } = kernelOf(gauge.weight, { off, sd: sigma * share, reach: own, h });
    if (share === 1 && top > -Infinity) {
      const mass = summed(kernel, product, here - own);
      residual = mass > 0 ? summed(apart, product, here - own) / mass : 0;
    }
    if (top > -Infinity)
      for (let k = 0; k < size; k++)
        logLik[r * size + k] = Math.log(summed(kernel, product, here + (k - range.below) * splits - own)) + top;
    if (r > 0) return;
    changes.forEach((change, i) => {
      const column = { ...lattice, ...change, lowest: centre - own * h };
      const other = logSighting(new Float64Array(kernel.length), column);
      if (isOutOfReach(other)) {
        changed[i] = -Infinity;
        return;
      }
      const alone = { ...at, aligned: change.aligned };
      if (splitsOf(alone, nodes) > splits) {
        // It speaks more sharply than this lattice is fine: one of its own.
        const only = { range: { below: 0, above: 0, step: range.step }, sigmaShares: [share], gross };
        changed[i] = visitState(alone, only).logLik[0];
        return;
      }
      const parts = each.map((log, j) =>
        from + j === change.sighting ? other : log.subarray(here - own, here + own + 1),
      );
      const then = scaledProduct(parts, kernel.length);
      changed[i] = then.top === -Infinity ? -Infinity : Math.log(summed(kernel, then, 0)) + then.top;
    });
  });
  return { logLik, residual, changed };
}

/**
 * Whether a sighting (a single top, seen as ln) is impossible at every state that the gauge leaves open: 102 m on a staff that shows
 * centimetres.
 */
function isOutOfReach(log: Float64Array): boolean {
  const highest = Math.max(log[0], log[log.length - 1]);
  return highest < IMPOSSIBLE && log.every((v) => v <= highest);
}

/** Into how many nodes a step of δ is split. */
function splitsOf({ fit, aligned, visit, draw }: At, { step, least }: { step: number; least: number }): number {
  let curvature = 1 / (least * least);
  for (let j = aligned.sightingStart[visit]; j < aligned.sightingStart[visit + 1]; j++)
    curvature += widthOf(fit.features[aligned.sightingFeature[j]], { draw, saw: aligned.sightingValue[j] }) ** -2;
  return Math.min(MOST_SPLITS, Math.max(1, Math.ceil((step * Math.sqrt(curvature)) / NODE_SHARE)));
}

/** A product on a lattice, divided by its largest value e^top; what lies outside `first` … `last` counts as nothing. */
interface Product {
  readonly seen: Float64Array;
  readonly top: number;
  readonly first: number;
  readonly last: number;
}

/** Π_j of logarithms given by j. */
function scaledProduct(logs: readonly Float64Array[], length: number): Product {
  const seen = new Float64Array(length);
  for (const log of logs) for (let k = 0; k < length; k++) seen[k] += log[k];
  let top = -Infinity;
  for (const v of seen) if (v > top) top = v;
  if (top > -Infinity) for (let k = 0; k < length; k++) seen[k] = Math.exp(seen[k] - top);
  let first = 0;
  let last = length - 1;
  while (first < last && !(seen[first] > NEGLIGIBLE)) first++;
  while (last > first && !(seen[last] > NEGLIGIBLE)) last--;
  return { seen, top, first, last };
}

/** h·Σ_q w_q N(k·h; off_q, sd²) for k = -reach … reach, and the same times k·h - off_q. */
function kernelOf(
  weight: readonly number[],
  { off, sd, reach, h }: { off: readonly number[]; sd: number; reach: number; h: number },
): { kernel: Float64Array; apart: Float64Array } {
  const scale = h / (sd * Math.sqrt(2 * Math.PI));
  const kernel = new Float64Array(2 * reach + 1);
  const apart = new Float64Array(2 * reach + 1);
  for (let k = -reach; k <= reach; k++)
    for (let q = 0; q < off.length; q++) {
      const away = k * h - off[q];
      const value = weight[q] * scale * Math.exp(-0.5 * (away / sd) ** 2);
      kernel[k + reach] += value;
      apart[k + reach] += value * away;
    }
  return { kernel, apart };
}

/** Σ_t kernel[t]·seen[start + t]. */
function summed(kernel: Float64Array, { seen, first, last }: Product, start: number): number {
  const to = Math.min(kernel.length - 1, last - start);
  let sum = 0;
  for (let t = Math.max(0, first - start); t <= to; t++) sum += kernel[t] * seen[start + t];
  return sum;
}

/** Matched x_q + γ v of a visit at the draw's grid point, weights summing to 1, and their mean. */
function readingsOf({ fit, aligned, visit, draw, point }: At): {
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
  if (!(saw === saw)) return Infinity;
  const { rating } = feature;
  const { form, a, p, noise, noiseForm, noiseAt } = rating;
  // A noise in proportion to the height is one share of it everywhere.
  if (noiseForm === 'growing') return (noise[draw] * p[draw]) / (Math.exp((noiseAt - a[draw]) / p[draw]) + noise[draw]);
  // The rating's slope at the reading; near its foot, where it is flat, at the noise above it.
  const foot = form === 'line' ? 0 : noise[draw] / p[draw];
  const { upper } = rating;
  if (upper !== undefined && Math.abs(saw - ratingAt(rating, upper.breakAt, draw)) < CORNER_REACH * noise[draw]) {
    const above = Math.exp((upper.breakAt - upper.a[draw]) / upper.p[draw]) / upper.p[draw];
    return (CORNER_SHARE * noise[draw]) / Math.max(ratingSlope(rating, upper.breakAt, draw), above);
  }
  const slope = Math.max(ratingSlope(rating, stateAt(rating, saw, draw), draw), foot);
  return noise[draw] / slope;
}

/** Writes ln P(saw | c) of a sighting at every lattice value of c. */
function logSighting(
  out: Float64Array,
  {
    fit,
    aligned,
    draw,
    point,
    sighting: j,
    lowest,
    h,
    gross,
  }: {
    fit: LevelFit;
    aligned: Aligned;
    draw: number;
    point: number;
    sighting: number;
    lowest: number;
    h: number;
    gross: boolean;
  },
): Float64Array {
  const feature = fit.features[aligned.sightingFeature[j]];
  const observer = aligned.sightingObserver[j];
  const y0 =
    lowest +
    aligned.shift[point * aligned.sightingRow.length + j] +
    fit.draws.bias[draw * aligned.observers.length + observer];
  if (feature.rating !== undefined) {
    const { rating } = feature;
    const { base, a, p, noise, noiseForm, noiseAt } = rating;
    const lambda = gross ? (rating.gross ?? 0) : 0;
    if (!(aligned.sightingValue[j] === aligned.sightingValue[j])) return out;
    const lnScale = Math.log(noise[draw] * Math.sqrt(2 * Math.PI));
    if (noiseForm === 'growing') {
      const height = Math.exp((noiseAt - a[draw]) / p[draw]);
      for (let k = 0; k < out.length; k++) {
        const u = (y0 + k * h - noiseAt) / p[draw];
        const off = ((aligned.sightingValue[j] - base[draw]) * Math.exp(-u) - height) / noise[draw];
        out[k] = withGross(-0.5 * off * off - u - lnScale, lambda);
      }
      return out;
    }
    for (let k = 0; k < out.length; k++) {
      const off = (aligned.sightingValue[j] - ratingAt(rating, y0 + k * h, draw)) / noise[draw];
      out[k] = withGross(-0.5 * off * off - lnScale, lambda);
    }
    return out;
  }
  const edges = feature.classes.length - 1;
  const seen = aligned.sightingClass[j];
  if (seen < 0) return out;
  const s = feature.blur[draw];
  const code = fit.link === 'logit' ? 1 : 0;
  const low = seen > 0 ? feature.edges[draw * edges + seen - 1] : -Infinity;
  const high = seen < edges ? feature.edges[draw * edges + seen] : Infinity;
  const lambda = gross ? (feature.gross ?? 0) : 0;
  for (let k = 0; k < out.length; k++)
    out[k] = withGross(logCell((low - y0 - k * h) / s, (high - y0 - k * h) / s, code), lambda);
  return out;
}

import { cellProbability, logCell } from '../link.js';
import { tableNormalCdf } from '../normalTable.js';
import { GROWING, LINE, SEGMENTS } from './levelData.js';
import { aboveValue, twoSegments } from './twoSegments.js';
import { knownOffset, type Workspace } from './workspace.js';

/*
 * What one sighting says about the state. Classes: P(saw = k | y) = F((τ_k - y)/s) - F((τ_{k-1} - y)/s). Numbers: N(v + βp(exp((y -
 * y0)/p) - 1), η²),
 * the power-law rating with offset written by its value v and slope β at the middle y0 of the data, or the line N(v + β(y - y0), η²).
 * Where the noise grows with
 * the height above the offset it is η·e^u, u = (y - y0)/p, and the residual over e^u is (saw - v + βp)·e^-u - βp. Two power laws that
 * meet at a break: `twoSegments`.
 * Any sighting may also be grossly wrong, with the density or probability λ of the data wherever the creek stood: N + λ, P + λ.
 */

const LN_SQRT_2PI = 0.9189385332046727;
const INV_SQRT_2PI = 0.3989422804014327;

/** ln P(sighting j | c). */
export function logSighting(work: Workspace, j: number, c: number): number {
  const { data, layout, natural, width } = work;
  const f = data.sightingFeature[j];
  const K = data.featureKind[f];
  const lambda = data.featureGross?.[f] ?? 0;
  if (K <= 0) return withGross(logNumber(work, j, c), lambda);
  const st = layout.featureStart[f];
  const y = c + knownOffset(work, j);
  const s = width[f];
  const k = data.sightingClass[j];
  const below = k > 0 ? (natural[st + k - 1] - y) / s : -Infinity;
  const above = k < K - 1 ? (natural[st + k] - y) / s : Infinity;
  return withGross(logCell(below, above, data.link), lambda);
}

/** ln(e^lnDensity + λ). */
export function withGross(lnDensity: number, lambda: number): number {
  if (lambda === 0) return lnDensity;
  const ratio = lnDensity - Math.log(lambda);
  return ratio > 0 ? lnDensity + Math.log1p(Math.exp(-ratio)) : Math.log(lambda) + Math.log1p(Math.exp(ratio));
}

/** ln density of the reading j at c, were it no gross error. */
export function logNumber({ data, layout, natural, width, side }: Workspace, j: number, c: number): number {
  const f = data.sightingFeature[j];
  const kind = data.featureKind[f];
  const st = layout.featureStart[f];
  const t = c + side.shift[j] + natural[layout.bias + data.sightingObserver[j]] - data.centre;
  const s = width[f];
  const above = data.sightingValue[j] - natural[st];
  if (kind === SEGMENTS) {
    const r = (above - aboveValue(twoSegments(natural, st, data.featureBreak[f]), t)) / s;
    return -0.5 * r * r - Math.log(s) - LN_SQRT_2PI;
  }
  const beta = Math.exp(natural[st + 1]);
  const p = kind === LINE ? 1 : Math.exp(natural[st + 2]);
  if (kind === GROWING) {
    const r = ((above + beta * p) * Math.exp(-t / p) - beta * p) / s;
    return -0.5 * r * r - Math.log(s) - t / p - LN_SQRT_2PI;
  }
  const r = (above - beta * (kind === LINE ? t : p * Math.expm1(t / p))) / s;
  return -0.5 * r * r - Math.log(s) - LN_SQRT_2PI;
}

/** Multiplies the workspace's integrand by P(sighting j | c_k); `exact` cells, or from a table where draws are weighed. */
export function timesSighting(work: Workspace, j: number, exact: boolean): void {
  const { data, layout, natural, integrand, lo, step, count } = work;
  const f = data.sightingFeature[j];
  const K = data.featureKind[f];
  if (K <= 0) {
    timesNumeric(work, j);
    return;
  }
  const y0 = lo + knownOffset(work, j);
  const st = layout.featureStart[f];
  const inv = 1 / work.width[f];
  const cl = data.sightingClass[j];
  const below = cl > 0 ? (natural[st + cl - 1] - y0) * inv : -Infinity;
  const above = cl < K - 1 ? (natural[st + cl] - y0) * inv : Infinity;
  const d = step * inv;
  const lambda = data.featureGross?.[f] ?? 0;
  if (exact || data.link === 1)
    for (let k = 0; k < count; k++) integrand[k] *= cellProbability(below - k * d, above - k * d, data.link) + lambda;
  else if (cl === 0) for (let k = 0; k < count; k++) integrand[k] *= tableNormalCdf(above - k * d) + lambda;
  else if (cl === K - 1) for (let k = 0; k < count; k++) integrand[k] *= tableNormalCdf(k * d - below) + lambda;
  else
    for (let k = 0; k < count; k++)
      integrand[k] *= tableNormalCdf(above - k * d) - tableNormalCdf(below - k * d) + lambda;
}

/** The same for a number; exponentials follow from node to node by one factor. */
function timesNumeric(work: Workspace, j: number): void {
  const { data, layout, natural, integrand, lo, step, count } = work;
  const f = data.sightingFeature[j];
  const st = layout.featureStart[f];
  const kind = data.featureKind[f];
  const power = kind !== LINE;
  const t0 = lo + knownOffset(work, j) - data.centre;
  const inv = 1 / work.width[f];
  const norm = inv * INV_SQRT_2PI;
  const beta = Math.exp(natural[st + 1]);
  const p = power ? Math.exp(natural[st + 2]) : 1;
  const above = data.sightingValue[j] - natural[st];
  const lambda = data.featureGross?.[f] ?? 0;
  if (kind === SEGMENTS) {
    const rating = twoSegments(natural, st, data.featureBreak[f]);
    for (let k = 0; k < count; k++) {
      const r = (above - aboveValue(rating, t0 + k * step)) * inv;
      integrand[k] *= norm * Math.exp(-0.5 * r * r) + lambda;
    }
    return;
  }
  if (kind === GROWING) {
    const height = above + beta * p;
    const shrink = Math.exp(-step / p);
    let e = Math.exp(-t0 / p);
    for (let k = 0; k < count; k++) {
      const r = (height * e - beta * p) * inv;
      integrand[k] *= norm * e * Math.exp(-0.5 * r * r) + lambda;
      e *= shrink;
    }
    return;
  }
  const factor = Math.exp(step / p);
  let e = beta * p * Math.exp(t0 / p);
  for (let k = 0; k < count; k++) {
    const r = (above - (power ? e - beta * p : beta * (t0 + k * step))) * inv;
    integrand[k] *= norm * Math.exp(-0.5 * r * r) + lambda;
    e *= factor;
  }
}

import { cellProbability, logCell } from '../link.js';
import { tableNormalCdf } from '../normalTable.js';
import { knownOffset, type Workspace } from './workspace.js';

/*
 * What one sighting says about the state. Classes: P(saw = k | y) = F((τ_k - y)/s) - F((τ_{k-1} - y)/s). Numbers: N(v + βp(exp((y - y0)/p) - 1), η²),
 * the power-law rating with offset written by its value v and slope β at the middle y0 of the data, or the line N(v + β(y - y0), η²).
 */

const LN_SQRT_2PI = 0.9189385332046727;
const INV_SQRT_2PI = 0.3989422804014327;

/** ln P(sighting j | c). */
export function logSighting(work: Workspace, j: number, c: number): number {
  const { data, layout, natural, width } = work;
  const f = data.sightingFeature[j];
  const K = data.featureKind[f];
  const st = layout.featureStart[f];
  const y = c + knownOffset(work, j);
  const s = width[f];
  if (K <= 0) {
    const beta = Math.exp(natural[st + 1]);
    const t = y - data.centre;
    const p = K === 0 ? Math.exp(natural[st + 2]) : 1;
    const mean = natural[st] + beta * (K === 0 ? p * Math.expm1(t / p) : t);
    const r = (data.sightingValue[j] - mean) / s;
    return -0.5 * r * r - Math.log(s) - LN_SQRT_2PI;
  }
  const k = data.sightingClass[j];
  return logCell(
    k > 0 ? (natural[st + k - 1] - y) / s : -Infinity,
    k < K - 1 ? (natural[st + k] - y) / s : Infinity,
    data.link,
  );
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
  if (exact || data.link === 1)
    for (let k = 0; k < count; k++) integrand[k] *= cellProbability(below - k * d, above - k * d, data.link);
  else if (cl === 0) for (let k = 0; k < count; k++) integrand[k] *= tableNormalCdf(above - k * d);
  else if (cl === K - 1) for (let k = 0; k < count; k++) integrand[k] *= tableNormalCdf(k * d - below);
  else for (let k = 0; k < count; k++) integrand[k] *= tableNormalCdf(above - k * d) - tableNormalCdf(below - k * d);
}

/** The same for a number; the power law's exponential follows from node to node by one factor. */
function timesNumeric(work: Workspace, j: number): void {
  const { data, layout, natural, integrand, lo, step, count } = work;
  const f = data.sightingFeature[j];
  const st = layout.featureStart[f];
  const power = data.featureKind[f] === 0;
  const t0 = lo + knownOffset(work, j) - data.centre;
  const inv = 1 / work.width[f];
  const norm = inv * INV_SQRT_2PI;
  const beta = Math.exp(natural[st + 1]);
  const p = power ? Math.exp(natural[st + 2]) : 1;
  const above = data.sightingValue[j] - natural[st];
  const factor = Math.exp(step / p);
  let e = beta * p * Math.exp(t0 / p);
  for (let k = 0; k < count; k++) {
    const r = (above - (power ? e - beta * p : beta * (t0 + k * step))) * inv;
    integrand[k] *= norm * Math.exp(-0.5 * r * r);
    e *= factor;
  }
}

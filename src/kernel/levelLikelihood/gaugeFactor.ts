import type { Workspace } from './workspace.js';

/*
 * What the gauge says about a visit's state: Σ_q w_q N(c; x_q + γ v, σ²) over the nodes of its window that have a gauge value; for a visit
 * without any, N(c; mean, sd²) of all visits.
 */

const LN_SQRT_2PI = 0.9189385332046727;
const INV_SQRT_2PI = 0.3989422804014327;

/** Below this a normal is as good as none. */
const NO_DENSITY = 1e-300;

/** Derivatives of ln gauge factor at a node: ∂ln σ, ∂γ, ∂²ln σ, ∂ln σ∂γ, ∂²γ. */
export const GAUGE_DERIVATIVES = 5;

/** γ v of a visit: 0 where its slope is not known. */
export function limbShift({ natural, layout, side }: Workspace, i: number): number {
  const slope = side.slope[i];
  return slope === slope ? natural[layout.gamma] * slope : 0;
}

/** ln of the gauge factor at c. */
export function logGauge(work: Workspace, i: number, c: number): number {
  const { data, side, sigma } = work;
  if (work.matched[i] === 0) {
    const z = (c - side.mean) / side.sd;
    return -0.5 * z * z - Math.log(side.sd) - LN_SQRT_2PI;
  }
  const extra = limbShift(work, i);
  const lnNorm = work.natural[work.layout.lnSigma] + LN_SQRT_2PI;
  const from = data.nodeStart[i];
  const to = data.nodeStart[i + 1];
  if (to - from === 1) {
    const z = (c - side.x[from] - extra) / sigma;
    return -0.5 * z * z - lnNorm;
  }
  let top = Infinity;
  let weight = 0;
  for (let q = from; q < to; q++) {
    const z = (c - side.x[q] - extra) / sigma;
    if (z * z < top) top = z * z;
    if (z === z) weight += data.nodeWeight[q];
  }
  let sum = 0;
  for (let q = from; q < to; q++) {
    const z = (c - side.x[q] - extra) / sigma;
    if (z === z) sum += data.nodeWeight[q] * Math.exp(0.5 * (top - z * z));
  }
  return Math.log(sum / weight) - 0.5 * top - lnNorm;
}

/** Derivatives of the ln gauge factor at c into out[at … at+4]; all 0 where the visit is unmatched. */
export function gaugeDerivatives(work: Workspace, i: number, c: number, out: Float64Array, at: number): void {
  const { data, side, sigma } = work;
  if (work.matched[i] === 0) {
    out.fill(0, at, at + GAUGE_DERIVATIVES);
    return;
  }
  const vel = side.slope[i] === side.slope[i] ? side.slope[i] : 0;
  const extra = limbShift(work, i);
  const from = data.nodeStart[i];
  const to = data.nodeStart[i + 1];
  if (to - from === 1) {
    const z = (c - side.x[from] - extra) / sigma;
    out[at] = z * z - 1;
    out[at + 1] = (vel * z) / sigma;
    out[at + 2] = -2 * z * z;
    out[at + 3] = (-2 * vel * z) / sigma;
    out[at + 4] = (-vel * vel) / (sigma * sigma);
    return;
  }
  let top = Infinity;
  for (let q = from; q < to; q++) {
    const z = (c - side.x[q] - extra) / sigma;
    if (z * z < top) top = z * z;
  }
  let sum = 0;
  let g0 = 0;
  let g1 = 0;
  let h00 = 0;
  let h01 = 0;
  let h11 = 0;
  for (let q = from; q < to; q++) {
    const z = (c - side.x[q] - extra) / sigma;
    if (!(z === z)) continue;
    const r = data.nodeWeight[q] * Math.exp(0.5 * (top - z * z));
    const a = z * z - 1;
    const b = (vel * z) / sigma;
    sum += r;
    g0 += r * a;
    g1 += r * b;
    h00 += r * (a * a - 2 * z * z);
    h01 += r * (a * b - (2 * vel * z) / sigma);
    h11 += r * (b * b - (vel * vel) / (sigma * sigma));
  }
  g0 /= sum;
  g1 /= sum;
  out[at] = g0;
  out[at + 1] = g1;
  out[at + 2] = h00 / sum - g0 * g0;
  out[at + 3] = h01 / sum - g0 * g1;
  out[at + 4] = h11 / sum - g1 * g1;
}

/** The gauge factor (plain, not ln) at the nodes of the workspace, into its integrand: a normal on a lattice follows from two factors. */
export function gaugeAtNodes(work: Workspace, i: number): void {
  const { data, side, integrand, lo, step, count } = work;
  integrand.fill(0, 0, count);
  const known = work.matched[i] === 1;
  const sigma = known ? work.sigma : side.sd;
  const extra = known ? limbShift(work, i) : 0;
  const from = known ? data.nodeStart[i] : 0;
  const to = known ? data.nodeStart[i + 1] : 1;
  const h = step / sigma;
  const shrink = Math.exp(-h * h);
  let weight = 0;
  for (let q = from; q < to; q++) {
    const mu = known ? side.x[q] + extra : side.mean;
    if (!(mu === mu)) continue;
    const w = known ? data.nodeWeight[q] : 1;
    weight += w;
    // Start at the node nearest to the mean and walk outwards: factors only shrink, so nothing overflows.
    const top = Math.min(count - 1, Math.max(0, Math.round((mu - lo) / step)));
    const z = (lo + top * step - mu) / sigma;
    const peak = w * Math.exp(-0.5 * z * z);
    let g = peak;
    let r = Math.exp(-h * z - 0.5 * h * h);
    for (let k = top; k < count && g > NO_DENSITY; k++) {
      integrand[k] += g;
      g *= r;
      r *= shrink;
    }
    r = Math.exp(h * z - 0.5 * h * h);
    g = peak * r;
    for (let k = top - 1; k >= 0 && g > NO_DENSITY; k--) {
      integrand[k] += g;
      r *= shrink;
      g *= r;
    }
  }
  const norm = INV_SQRT_2PI / (sigma * weight);
  for (let k = 0; k < count; k++) integrand[k] *= norm;
}

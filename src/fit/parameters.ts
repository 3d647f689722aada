import { parametersOf, type NaturalLayout } from '../kernel/levelLikelihood.js';

/**
 * Unconstrained parameters u and how they make the natural ones.
 *
 * Class feature of K classes: [middle edge, K-2 ln gaps (upwards first, then downwards), ln blur]; everything else is itself. Anchoring the
 * middle edge keeps the Hessian well conditioned where outer classes are rare. The observers' sd ω is no parameter: it is
 * averaged over on a grid of its own, because ω together with the biases makes a funnel that no normal can follow.
 */
export interface ParameterPlan {
  readonly natural: NaturalLayout;
  readonly featureKind: Int32Array;
  readonly observers: number;
  readonly featureStart: Int32Array;
  readonly lnSigma: number;
  readonly gamma: number;
  readonly bias: number;
  readonly size: number;
  /** Indices of u that are free; the others stay where they are. */
  readonly free: Int32Array;
}

export function parameterPlan(
  natural: NaturalLayout,
  featureKind: Int32Array,
  options: { observers: number; mismatch: boolean; limb: boolean; bias: boolean },
): ParameterPlan {
  const size = natural.size;
  const fixed = new Set<number>();
  if (!options.mismatch) fixed.add(natural.lnSigma);
  if (!options.limb) fixed.add(natural.gamma);
  if (!options.bias) for (let i = natural.bias; i < size; i++) fixed.add(i);
  return {
    natural,
    featureKind,
    observers: options.observers,
    featureStart: natural.featureStart,
    lnSigma: natural.lnSigma,
    gamma: natural.gamma,
    bias: natural.bias,
    size,
    free: Int32Array.from(Array.from({ length: size }, (_, i) => i).filter((i) => !fixed.has(i))),
  };
}

/** Number of the middle edge among K-1. */
export function middleEdge(K: number): number {
  return (K - 2) >> 1;
}

/** Natural parameters of u, written to `out`. */
export function toNatural(plan: ParameterPlan, u: Float64Array, out: Float64Array): void {
  const { featureKind, featureStart } = plan;
  for (let f = 0; f < featureKind.length; f++) {
    const s = featureStart[f];
    const K = featureKind[f];
    if (K > 0) {
      const mid = middleEdge(K);
      out[s + mid] = u[s];
      let at = s + 1;
      for (let k = mid + 1; k < K - 1; k++) out[s + k] = out[s + k - 1] + Math.exp(u[at++]);
      for (let k = mid - 1; k >= 0; k--) out[s + k] = out[s + k + 1] - Math.exp(u[at++]);
      out[s + K - 1] = u[s + K - 1];
    } else for (let r = 0; r < parametersOf(K); r++) out[s + r] = u[s + r];
  }
  out[plan.lnSigma] = u[plan.lnSigma];
  out[plan.gamma] = u[plan.gamma];
  for (let i = plan.bias; i < plan.size; i++) out[i] = u[i];
}

/**
 * Gradient and Hessian in u from those in natural parameters: H_u = Jᵀ H J + Σ g_r ∂²ν_r/∂u².
 * Each natural parameter depends on a handful of u, so J is kept as index/value lists.
 */
export function createChainRule(
  plan: ParameterPlan,
): (
  u: Float64Array,
  natural: { gradient: Float64Array; hessian: Float64Array },
  out: { gradient: Float64Array; hessian: Float64Array },
) => void {
  const { featureKind, featureStart } = plan;
  const P = plan.natural.size;
  const U = plan.size;
  const on: number[][] = Array.from({ length: P }, () => []);
  for (let f = 0; f < featureKind.length; f++) {
    const s = featureStart[f];
    const K = featureKind[f];
    if (K > 0) {
      const mid = middleEdge(K);
      for (let k = 0; k < K - 1; k++) {
        on[s + k].push(s);
        if (k > mid) for (let t = 0; t < k - mid; t++) on[s + k].push(s + 1 + t);
        if (k < mid) for (let t = 0; t < mid - k; t++) on[s + k].push(s + 1 + (K - 2 - mid) + t);
      }
      on[s + K - 1].push(s + K - 1);
    } else for (let r = 0; r < parametersOf(K); r++) on[s + r].push(s + r);
  }
  on[plan.lnSigma].push(plan.lnSigma);
  on[plan.gamma].push(plan.gamma);
  for (let i = plan.bias; i < plan.size; i++) on[i].push(i);
  const start = new Int32Array(P + 1);
  on.forEach((list, r) => (start[r + 1] = start[r] + list.length));
  const index = Int32Array.from(on.flat());
  const slope = new Float64Array(index.length);

  const fillSlopes = (u: Float64Array): void => {
    slope.fill(1);
    for (let f = 0; f < featureKind.length; f++) {
      const s = featureStart[f];
      const K = featureKind[f];
      if (K <= 0) continue;
      const mid = middleEdge(K);
      for (let k = 0; k < K - 1; k++)
        for (let t = start[s + k] + 1; t < start[s + k + 1]; t++) slope[t] = Math.exp(u[index[t]]) * (k > mid ? 1 : -1);
    }
  };

  return (u, natural, out) => {
    fillSlopes(u);
    out.gradient.fill(0);
    out.hessian.fill(0);
    for (let r = 0; r < P; r++) {
      const g = natural.gradient[r];
      for (let a = start[r]; a < start[r + 1]; a++) {
        out.gradient[index[a]] += g * slope[a];
        for (let q = 0; q < P; q++) {
          const h = natural.hessian[r * P + q];
          if (h === 0) continue;
          for (let b = start[q]; b < start[q + 1]; b++) out.hessian[index[a] * U + index[b]] += slope[a] * slope[b] * h;
        }
      }
    }
    // Second derivatives of the maps: exp(gap) repeats itself.
    for (let f = 0; f < featureKind.length; f++) {
      const s = featureStart[f];
      const K = featureKind[f];
      if (K <= 0) continue;
      for (let k = 0; k < K - 1; k++)
        for (let t = start[s + k] + 1; t < start[s + k + 1]; t++)
          out.hessian[index[t] * U + index[t]] += natural.gradient[s + k] * slope[t];
    }
  };
}

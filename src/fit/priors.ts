import { LINE, parametersOf, SEGMENTS } from '../kernel/levelLikelihood.js';
import type { ParameterPlan } from './parameters.js';

/** An independent normal prior on each unconstrained parameter; sd Infinity: flat. */
export interface Priors {
  readonly mean: Float64Array;
  readonly sd: Float64Array;
}

/**
 * Medians and spreads of the weak priors, in ln units of discharge. A stage gauge moves less for the same creek: everything is
 * multiplied by `scale` there.
 */
export const WEAK_PRIORS = {
  blur: { median: 0.15, sdLn: 0.7 },
  /** Seven real pairs of gauge and water had 0.2 to 0.9 beside discharge. */
  mismatch: { median: 0.35, sdLn: 0.7 },
  observerSd: { median: 0.1, sdLn: 0.7 },
  gap: { median: 0.4, sdLn: 1 },
  /** Place of a feature's middle edge around the mean gauge value of the visits. */
  middleSd: 2,
  /** Hours that a limb term may shift the state by, as x(t - γ). */
  limbSdHours: 2,
  /** Exponent 1/p of a staff on discharge; p about 1.3 to 3 (common practice for natural sections). */
  ratingP: { median: 1.8, sdLn: 0.35 },
  /** ln of the slope above a staff's break over that below it: mostly between a quarter and four times. */
  breakSlopeSdLn: 0.7,
} as const;

export interface PriorContext {
  /** Mean of x over matched visits at this grid point. */
  readonly centre: number;
  /** 1 for discharge; for stage how much ln stage moves per ln discharge. */
  readonly scale: number;
  /** Multiplies every prior sd (sensitivity runs); default 1. */
  readonly width?: number;
  /** ω at which the biases are held while a mode is sought. */
  readonly observerSd: number;
  /** Per numeric feature: lowest reading, range of readings. */
  readonly numeric: ReadonlyMap<number, { low: number; range: number }>;
}

/** The weak priors at one grid point, written into `out`. */
export function weakPriors(plan: ParameterPlan, context: PriorContext, out?: Priors): Priors {
  const mean = out?.mean ?? new Float64Array(plan.size);
  const sd = out?.sd ?? new Float64Array(plan.size);
  const { centre, scale, width = 1 } = context;
  const w = WEAK_PRIORS;
  const put = (i: number, m: number, s: number): void => {
    mean[i] = m;
    sd[i] = s * width;
  };
  for (let f = 0; f < plan.featureKind.length; f++) {
    const s = plan.featureStart[f];
    const K = plan.featureKind[f];
    if (K > 0) {
      put(s, centre, w.middleSd * scale);
      for (let k = 1; k < K - 1; k++) put(s + k, Math.log(w.gap.median * scale), w.gap.sdLn);
      put(s + K - 1, Math.log(w.blur.median * scale), w.blur.sdLn);
      continue;
    }
    const { low, range } = context.numeric.get(f) ?? { low: 0, range: 1 };
    const noise = Math.log(0.1 * range);
    // At the middle of the data the staff reads about the middle of its readings; a range per two ln units is the typical slope.
    put(s, low + 0.5 * range, range);
    put(s + 1, Math.log((0.5 * range) / scale), 1);
    if (K !== LINE) put(s + 2, Math.log(w.ratingP.median * scale), w.ratingP.sdLn);
    if (K === SEGMENTS) {
      put(s + 3, 0, w.breakSlopeSdLn);
      put(s + 4, Math.log(w.ratingP.median * scale), w.ratingP.sdLn);
    }
    put(s + parametersOf(K) - 1, noise, 1);
  }
  put(plan.lnSigma, Math.log(w.mismatch.median * scale), w.mismatch.sdLn);
  put(plan.gamma, 0, w.limbSdHours);
  for (let i = plan.bias; i < plan.size; i++) {
    mean[i] = 0;
    sd[i] = context.observerSd;
  }
  return { mean, sd };
}

/** No prior at all: maximum likelihood. */
export function flatPriors(plan: ParameterPlan): Priors {
  return { mean: new Float64Array(plan.size), sd: new Float64Array(plan.size).fill(Infinity) };
}

const LN_SQRT_2PI = 0.9189385332046728;

/** ln prior density of the free parameters, normalised. */
export function logPrior(plan: ParameterPlan, priors: Priors, u: Float64Array): number {
  let total = 0;
  for (const i of plan.free) {
    if (priors.sd[i] === Infinity) continue;
    const z = (u[i] - priors.mean[i]) / priors.sd[i];
    total -= 0.5 * z * z + Math.log(priors.sd[i]) + LN_SQRT_2PI;
  }
  return total;
}

/** Adds the prior's gradient and Hessian (dense, plan.size²). */
export function addPriorDerivatives(
  plan: ParameterPlan,
  priors: Priors,
  u: Float64Array,
  out: { gradient: Float64Array; hessian: Float64Array },
): void {
  for (const i of plan.free) {
    if (priors.sd[i] === Infinity) continue;
    const w = 1 / (priors.sd[i] * priors.sd[i]);
    out.gradient[i] -= (u[i] - priors.mean[i]) * w;
    out.hessian[i * plan.size + i] -= w;
  }
}

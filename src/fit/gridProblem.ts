import type { Aligned } from '../align/types.js';
import {
  createLevelLikelihood,
  GROWING,
  LINE,
  parametersOf,
  POWER,
  SEGMENTS,
  type GaugeSide,
  type LevelLikelihood,
} from '../kernel/levelLikelihood.js';
import type { LinkCode } from '../kernel/link.js';
import { createChainRule, parameterPlan, toNatural, type ParameterPlan } from './parameters.js';
import { addPriorDerivatives, flatPriors, logPrior, weakPriors, type Priors } from './priors.js';
import type { RatingEvidence } from './ratingForm.js';
import { grossClassTerm, grossTerm, readingRange } from './readingRange.js';
import type { RatingForm } from './types.js';

const RATING_KIND: Readonly<Record<RatingForm, number>> = {
  power: POWER,
  line: LINE,
  growing: GROWING,
  segments: SEGMENTS,
};

/** What the numbers of one run and gauge are fitted with; the same for every grid point. */
export interface ProblemOptions {
  readonly link: LinkCode;
  readonly priors: 'weak' | 'none';
  /** Multiplies the prior sds. */
  readonly priorWidth: number;
  /** False: σ = 0, the state is the gauge value. */
  readonly mismatch: boolean;
  /** False: observers are taken to see alike. */
  readonly bias: boolean;
  readonly limb: boolean;
  /** Form of each numeric feature, by feature index; default power. */
  readonly ratingForm: ReadonlyMap<number, RatingForm>;
  /** State at which the two power laws of a feature in the form `segments` meet. */
  readonly ratingBreak?: ReadonlyMap<number, number>;
  /** Whether a class may be grossly wrong, as a number always may; default false. */
  readonly grossClasses?: boolean;
  /** How each form was chosen; nothing is known of features without. */
  readonly ratingEvidence?: ReadonlyMap<number, RatingEvidence>;
  readonly scale: number;
  /** ω of the observers' biases; averaged over afterwards. */
  readonly observerSd: number;
  /** y0 of the numeric features; default the mean of x at lag 0, storage 0. */
  readonly centre?: number;
  /** ln prior of each grid point against a flat one (G, storage-major); default flat. */
  readonly gridPrior?: Float64Array;
}

/** The posterior of one run and gauge at any point of the lag × storage grid. */
export interface GridProblem {
  readonly aligned: Aligned;
  readonly plan: ParameterPlan;
  readonly likelihood: LevelLikelihood;
  readonly options: ProblemOptions;
  /** y0 of the numeric features. */
  readonly centre: number;
  /** Visits with a gauge value, mean and sd of x at grid point g, and the arrays of that point. */
  side(g: number): GaugeSide;
  priors(g: number): Priors;
  /** A place to start from, all parameters (plan.size). */
  start(g: number): Float64Array;
  /** ln posterior (unnormalised) at u; nodes must be set. Fills gradient and Hessian over all of u where given. */
  logPosterior(u: Float64Array, g: number, out?: { gradient: Float64Array; hessian: Float64Array }): number;
  /** Lays the nodes for u; returns the ln posterior there. */
  setNodes(u: Float64Array, g: number): number;
  /** ln posterior with nodes of its own; `visits` gets each visit's ln likelihood. */
  freshLogPosterior(u: Float64Array, g: number, visits?: Float64Array): number;
  natural(u: Float64Array): Float64Array;
}

export function createGridProblem(aligned: Aligned, options: ProblemOptions): GridProblem {
  const n = aligned.visitIds.length;
  const m = aligned.sightingClass.length;
  const N = aligned.nodeWeight.length;
  const featureKind = Int32Array.from(aligned.features, (f, i) =>
    f.classes.length > 0 ? f.classes.length : RATING_KIND[options.ratingForm.get(i) ?? 'power'],
  );
  const sides = new Map<number, GaugeSide>();
  const side = (g: number): GaugeSide => {
    const known = sides.get(g);
    if (known !== undefined) return known;
    const x = aligned.x.subarray(g * N, (g + 1) * N);
    let count = 0;
    let mean = 0;
    let m2 = 0;
    for (let i = 0; i < N; i++) {
      if (!(x[i] === x[i])) continue;
      count++;
      const d = x[i] - mean;
      mean += d / count;
      m2 += d * (x[i] - mean);
    }
    const made: GaugeSide = {
      x,
      slope: aligned.slope.subarray(g * n, (g + 1) * n),
      shift: aligned.shift.subarray(g * m, (g + 1) * m),
      mean,
      sd: Math.max(Math.sqrt(m2 / Math.max(1, count - 1)), 0.3 * options.scale),
    };
    sides.set(g, made);
    return made;
  };
  const numeric = new Map<number, { low: number; range: number }>();
  featureKind.forEach((K, f) => {
    if (K <= 0) numeric.set(f, readingRange(aligned.sightingValue.filter((_, j) => aligned.sightingFeature[j] === f)));
  });
  const zeroPoint = Math.max(0, aligned.lagsHours.indexOf(0));
  const centre = options.centre ?? side(aligned.storagesHours.indexOf(0) * aligned.lagsHours.length + zeroPoint).mean;
  const likelihood = createLevelLikelihood({
    link: options.link,
    sightingStart: aligned.sightingStart,
    sightingFeature: aligned.sightingFeature,
    sightingClass: aligned.sightingClass,
    sightingValue: aligned.sightingValue,
    sightingObserver: aligned.sightingObserver,
    nodeStart: aligned.nodeStart,
    nodeWeight: aligned.nodeWeight,
    featureKind,
    featureBreak: Float64Array.from(featureKind, (_, f) => (options.ratingBreak?.get(f) ?? NaN) - centre),
    featureGross: Float64Array.from(featureKind, (K, f) => {
      if (options.priors === 'none') return 0;
      if (K > 0) return options.grossClasses ? grossClassTerm(K) : 0;
      return grossTerm(numeric.get(f)!.range);
    }),
    observers: aligned.observers.length,
    exact: !options.mismatch,
    centre,
  });
  const plan = parameterPlan(likelihood.layout, featureKind, {
    observers: aligned.observers.length,
    mismatch: options.mismatch,
    limb: options.limb,
    bias: options.bias,
  });

  const priorsOf = (g: number): Priors =>
    options.priors === 'none'
      ? flatPriors(plan)
      : weakPriors(plan, {
          centre: side(g).mean,
          scale: options.scale,
          width: options.priorWidth,
          observerSd: options.observerSd,
          numeric,
        });

  const start = (g: number): Float64Array => {
    const u = weakPriors(plan, {
      centre: side(g).mean,
      scale: options.scale,
      observerSd: options.observerSd,
      numeric,
    }).mean.slice();
    startEdges(aligned, plan, side(g), u, options.scale);
    // From a noise so wide that no reading is taken for a gross error before the rating has come near it.
    numeric.forEach(
      ({ range }, f) => (u[plan.featureStart[f] + parametersOf(featureKind[f]) - 1] = Math.log(0.5 * range)),
    );
    return u;
  };

  const nat = new Float64Array(likelihood.layout.size);
  const natGradient = new Float64Array(nat.length);
  const natHessian = new Float64Array(nat.length * nat.length);
  const chain = createChainRule(plan);
  const cached = new Map<number, Priors>();
  const priors = (g: number): Priors => {
    let p = cached.get(g);
    if (p === undefined) cached.set(g, (p = priorsOf(g)));
    return p;
  };

  const pointPrior = (g: number): number => options.gridPrior?.[g] ?? 0;

  return {
    aligned,
    plan,
    likelihood,
    options,
    centre,
    side,
    priors,
    start,
    natural: (u) => {
      const out = new Float64Array(nat.length);
      toNatural(plan, u, out);
      return out;
    },
    setNodes: (u, g) => {
      toNatural(plan, u, nat);
      return likelihood.setNodes(nat, side(g)) + logPrior(plan, priors(g), u) + pointPrior(g);
    },
    logPosterior: (u, g, out) => {
      toNatural(plan, u, nat);
      const prior = logPrior(plan, priors(g), u) + pointPrior(g);
      if (out === undefined) return likelihood.value(nat, side(g)) + prior;
      const value = likelihood.derivatives(nat, side(g), natGradient, natHessian);
      chain(u, { gradient: natGradient, hessian: natHessian }, out);
      addPriorDerivatives(plan, priors(g), u, out);
      return value + prior;
    },
    freshLogPosterior: (u, g, visits) => {
      toNatural(plan, u, nat);
      return likelihood.freshValue(nat, side(g), visits) + logPrior(plan, priors(g), u) + pointPrior(g);
    },
  };
}

/**
 * Starting edges: the value halfway between the mean x of the sightings below and above each edge, made ascending, so that Newton's
 * method begins on the right side of every class.
 */
function startEdges(aligned: Aligned, plan: ParameterPlan, side: GaugeSide, u: Float64Array, scale: number): void {
  const visitOf = new Int32Array(aligned.sightingClass.length);
  for (let i = 0; i + 1 < aligned.sightingStart.length; i++)
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) visitOf[j] = i;
  for (let f = 0; f < plan.featureKind.length; f++) {
    const K = plan.featureKind[f];
    if (K <= 0) continue;
    const sum = new Float64Array(K);
    const count = new Float64Array(K);
    for (let j = 0; j < aligned.sightingClass.length; j++) {
      if (aligned.sightingFeature[j] !== f) continue;
      const x = side.x[aligned.nodeStart[visitOf[j]]];
      if (!(x === x)) continue;
      sum[aligned.sightingClass[j]] += x;
      count[aligned.sightingClass[j]]++;
    }
    const edges = new Float64Array(K - 1);
    for (let k = 0; k < K - 1; k++) {
      let below = 0;
      let nBelow = 0;
      let above = 0;
      let nAbove = 0;
      for (let c = 0; c < K; c++) {
        if (c <= k) {
          below += sum[c];
          nBelow += count[c];
        } else {
          above += sum[c];
          nAbove += count[c];
        }
      }
      const b = nBelow > 0 ? below / nBelow : side.mean - side.sd;
      const a = nAbove > 0 ? above / nAbove : side.mean + side.sd;
      edges[k] = 0.5 * (a + b);
    }
    const gap = 0.1 * scale;
    for (let k = 1; k < K - 1; k++) edges[k] = Math.max(edges[k], edges[k - 1] + gap);
    const s = plan.featureStart[f];
    const mid = (K - 2) >> 1;
    u[s] = edges[mid];
    let at = s + 1;
    for (let k = mid + 1; k < K - 1; k++) u[at++] = Math.log(edges[k] - edges[k - 1]);
    for (let k = mid - 1; k >= 0; k--) u[at++] = Math.log(edges[k + 1] - edges[k]);
  }
}

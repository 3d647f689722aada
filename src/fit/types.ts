import type { GaugeUnit, Parameter } from '../series/units.js';

/** Distribution function of the blur: normal or logistic. */
export type Link = 'probit' | 'logit';

/** How a fit ended. `converged`, `separated` and `iteration-limit` have draws; those of the last are not to be relied on. */
export type FitStatus = 'converged' | 'separated' | 'singular' | 'iteration-limit' | 'too-few-rows' | 'constant-gauge';

/**
 * `one-reading`: storage 0. `effective`: storage averaged over. `any-lag`: storage 0 and lags of both signs; it confirms, it does not plan.
 */
export type FitMode = ReadingWay | 'any-lag';

/** The ways of reading a gauge that a chart can be made by. */
export type ReadingWay = 'one-reading' | 'effective';

/** `as-it-stands`: the reading of the moment of deciding, exactly at the lead, storage 0: what somebody does who knows no lag. */
export type Way = ReadingWay | 'as-it-stands';

/**
 * How a numeric feature's reading follows the water: power law with offset, a line in x, the power law with a noise that grows with the
 * height above the offset, or two power laws that meet at a break.
 */
export type RatingForm = 'power' | 'line' | 'growing' | 'segments';

/** The posterior of the level model for one run and one gauge, as equally weighted draws (D of them). */
export interface LevelFit {
  readonly kind: 'level-fit';
  readonly run: string;
  readonly gauge: string;
  readonly gaugeName: string;
  readonly parameter: Parameter;
  readonly unit: GaugeUnit;
  /** x = ln(e - offset). */
  readonly offset: number;
  readonly mode: FitMode;
  readonly link: Link;
  readonly leadHours: number;
  readonly status: FitStatus;
  readonly statusSentence: string;
  readonly visits: number;
  readonly sightings: number;
  readonly floods: number;
  readonly features: readonly FittedFeature[];
  readonly observers: readonly string[];
  /** Draws; every array has length D unless said. */
  readonly draws: {
    readonly count: number;
    readonly lagHours: Float64Array;
    readonly storageHours: Float64Array;
    /** σ, ln units of e. */
    readonly mismatch: Float64Array;
    /** ω, ln units of e. */
    readonly observerSd: Float64Array;
    /** b_o: bias[d·O + o], O observers. */
    readonly bias: Float64Array;
    /** γ, hours: added state per unit of dx/dt; all 0 where not kept. */
    readonly limb: Float64Array;
    /** Log-likelihood of each visit: visitLogLik[d·n + i]. */
    readonly visitLogLik: Float64Array;
  };
  /** What of the mismatch lasts; absent where nothing was fitted. */
  readonly lasting?: Lasting;
  /** Log evidence on the grid (storage-major like Aligned), NaN where not evaluated (negligible) or outside this mode. */
  readonly grid: {
    readonly lagsHours: Float64Array;
    readonly storagesHours: Float64Array;
    readonly logEvidence: Float64Array;
    /** Posterior probability of each grid point; sums to 1. */
    readonly probability: Float64Array;
  };
  /**
   * The instruction that the fit is for, a point of the grid: near the whole posterior, and likely. `draws` are made there, so that edges
   * and odds are those of what people are told to read; only the draws of `any-lag` spread over the grid. { 0, 0 } without draws.
   */
  readonly reading: { readonly lagHours: number; readonly storageHours: number };
  /** ln marginal likelihood of the mode averaged over its part of the grid. */
  readonly logEvidence: number;
  readonly limbKept: boolean;
  readonly limbLogBayesFactor: number;
  readonly diagnostics: FitDiagnostics;
}

/**
 * Errors that visits share: a part for each flood, and a drift that fades from one month to another. `draws` are those of any season: the
 * drift is drawn anew.
 */
export interface Lasting {
  /** Posterior means of the shares of σ² that a flood's visits have in common, and that drift. */
  readonly floodShare: number;
  readonly driftShare: number;
  /** ln evidence of lasting errors over errors of single visits. */
  readonly logBayesFactor: number;
  /**
   * ln likelihood of each visit at the draw before it was carried, [d·n + i]: leaving a flood out weighs by it, so that no flood is taken
   * out for more than it was worth.
   */
  readonly aloneLogLik: Float64Array;
  /** Drift of each draw at the last visit: the creek stands so much higher than the gauge says, ln units of e (D). */
  readonly atLast: Float64Array;
  /** Its sd in any season, ln units, and the days after which it has fallen to 1/e (D). */
  readonly sd: Float64Array;
  readonly memoryDays: Float64Array;
}

export interface FittedFeature {
  readonly id: string;
  readonly name: string;
  readonly classes: readonly string[];
  readonly unit?: string;
  /** Edges in x units (ln): edges[d·(K-1) + k]; empty for a numeric feature. */
  readonly edges: Float64Array;
  /** s_f in ln units (class feature); length D. */
  readonly blur: Float64Array;
  /** Class feature: probability that every class has besides, wherever the creek stood, where the evidence asks for gross errors. */
  readonly gross?: number;
  /**
   * Numeric feature: saw = base + exp((c - a)/p) (`power`) or base + (c - a)/p (`line`), length D each. `noise` is an sd in the feature's
   * unit: everywhere where it is constant; where it grows, at c = `noiseAt`, and noise·exp((c - noiseAt)/p) elsewhere, in proportion to the
   * height above the base (see `readingNoise`).
   */
  readonly rating?: {
    readonly form: 'power' | 'line';
    readonly base: Float64Array;
    readonly a: Float64Array;
    readonly p: Float64Array;
    readonly noise: Float64Array;
    /**
     * Density that every reading has besides, wherever the creek stood: the numbers that are grossly wrong, against the sound ones. Default
     * 0.
     */
    readonly gross?: number;
    /**
     * A second power law from the state `breakAt` on, where the evidence asks for one: saw = base + exp((c - a)/p) of its own. The break is
     * held.
     */
    readonly upper?: {
      readonly breakAt: number;
      readonly base: Float64Array;
      readonly a: Float64Array;
      readonly p: Float64Array;
    };
    readonly noiseForm: 'constant' | 'growing';
    /** x at which `noise` holds. */
    readonly noiseAt: number;
    /**
     * ln evidence of the power law (with the noise taken) over the straight line; NaN where it was not tried or taken over from another
     * fit.
     */
    readonly formLogBayesFactor: number;
    /** ln evidence of growing noise over the better form with constant noise; NaN as above. */
    readonly noiseLogBayesFactor: number;
    /**
     * ln evidence of two power laws that meet at a break over the form with one; NaN where it was not tried or taken over from another fit.
     */
    readonly breakLogBayesFactor: number;
    /** Why this form, and why this noise. */
    readonly formSentence: string;
    readonly noiseSentence: string;
  };
  /** True where this feature's sightings alone cannot tell mismatch from blur. */
  readonly sharesMismatch: boolean;
}

/** The optimiser's and the sampler's diary. */
export interface FitDiagnostics {
  /** Points of the grid that this mode could take, and those of them that were climbed at. */
  readonly gridPoints: number;
  readonly gridPointsFitted: number;
  readonly iterations: number;
  /** Largest absolute gradient at the best mode. */
  readonly gradient: number;
  /** Condition number of the Hessian at the best mode. */
  readonly condition: number;
  /** Pareto k̂ of the importance weights; below 0.7 the draws are dependable. */
  readonly paretoK: number;
  /** Effective number of draws after re-weighting. */
  readonly effectiveDraws: number;
}

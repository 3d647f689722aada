import type { RatingFit, RatingSegment } from './fitRating.js';
import type { Gaugings, RatingErrors } from './ratingForms.js';
import type { CurveTerm } from './types.js';

const SENTENCES: Readonly<Record<RatingFit['status'], string>> = {
  converged: 'The rating converged.',
  unbounded:
    'The gaugings do not hold the offset: the best power law is the one with its offset infinitely far below, an exponential.',
  'not-rising': 'Discharge does not rise with stage here: there is no rating.',
  singular: 'Singular: the gaugings do not determine all parameters of the rating.',
  'iteration-limit': 'The iterations ran out before the rating converged.',
  'too-few-rows': 'Too few gaugings at different stages for a rating with its offset.',
};

/** Names of the parameters in the order of `parameters`; the first is kept as its logarithm. */
export const ONE_NAMES = ['C', 'b', 'h0'] as const;
export const TWO_NAMES = ['C1', 'b1', 'h01', 'break', 'b2', 'h02'] as const;

/** The parts that differ between one and two segments and between good and bad ends. */
export interface RatingParts {
  readonly status: RatingFit['status'];
  readonly errors: RatingErrors;
  readonly level: number;
  readonly df: number;
  readonly names: readonly string[];
  readonly segments?: readonly RatingSegment[];
  readonly terms?: readonly CurveTerm[];
  readonly parameters?: Float64Array;
  readonly covariance?: Float64Array;
  readonly fitted?: Float64Array;
  readonly rss?: number;
  readonly heldParameters?: number;
}

/** Puts a rating together and freezes it; what is not given is NaN. */
export function assembleRating(gaugings: Gaugings, parts: RatingParts): RatingFit {
  const { status, errors, level, df, names, rss = NaN, heldParameters = 0 } = parts;
  const { stage, discharge } = gaugings;
  const n = stage.length;
  const p = names.length;
  const nothing = new Float64Array(n).fill(NaN);
  const fitted = parts.fitted ?? nothing;
  const residuals = discharge.map((q, i) => (errors === 'ln' ? Math.log(q / fitted[i]) : q - fitted[i]));
  const smearing = errors === 'ln' ? residuals.reduce((sum, r) => sum + Math.exp(r), 0) / n : 1;
  const noTerm = (term: string): CurveTerm =>
    Object.freeze({ term, estimate: NaN, standardError: NaN, lower: NaN, upper: NaN });
  return Object.freeze({
    kind: 'rating-fit',
    status,
    statusSentence: SENTENCES[status],
    errors,
    segments: Object.freeze((parts.segments ?? []).map((s) => Object.freeze(s))),
    terms: Object.freeze(parts.terms?.map((t) => Object.freeze(t)) ?? names.map(noTerm)),
    parameters: parts.parameters ?? new Float64Array(p).fill(NaN),
    covariance: parts.covariance ?? new Float64Array(p * p).fill(NaN),
    level,
    rss,
    residualSd: df > 0 ? Math.sqrt(rss / df) : NaN,
    df: Math.max(0, df),
    bic: n * Math.log(rss / n) + (p - heldParameters) * Math.log(n),
    observations: n,
    lowestStage: n > 0 ? stage.reduce((a, b) => Math.min(a, b)) : NaN,
    highestStage: n > 0 ? stage.reduce((a, b) => Math.max(a, b)) : NaN,
    fitted,
    residuals,
    smearing,
  } as const);
}

import { checkLevel, checkPairs } from './checkPairs.js';
import { fitOneSegment } from './oneSegment.js';
import type { Gaugings, RatingErrors } from './ratingForms.js';
import { fitTwoSegments } from './twoSegmentFit.js';
import type { CurveStatus, CurveTerm } from './types.js';

export interface RatingOptions {
  /**
   * `ln`: least squares of ln Q (errors in per cent, the standard's usual choice; the curve is the median). `natural`: of Q (errors
   * in discharge; the large gaugings decide). The two can differ a lot, the offset most. Default ln.
   */
  readonly errors?: RatingErrors;
  /** `evidence`: two only where they lower BIC = n·ln(rss/n) + p·ln n. Default 1. */
  readonly segments?: 1 | 2 | 'evidence';
  /** Holds h0 at a known stage of zero flow; below the lowest gauging. One segment only. */
  readonly offset?: number;
  /** n inverse variances, up to a factor, of ln Q or of Q. Default all 1. */
  readonly weight?: ArrayLike<number>;
  /** Default 0.95. */
  readonly level?: number;
}

/** One piece of the curve: Q = C·(h - h0)^b from one stage to the next. */
export interface RatingSegment {
  readonly fromStage: number;
  readonly toStage: number;
  readonly coefficient: number;
  readonly exponent: number;
  /** h0; -Infinity where the status is `unbounded`. */
  readonly offset: number;
}

/** A stage-discharge rating. */
export interface RatingFit {
  readonly kind: 'rating-fit';
  readonly status: CurveStatus | 'not-rising';
  readonly statusSentence: string;
  readonly errors: RatingErrors;
  readonly segments: readonly RatingSegment[];
  /** C, b, h0; with two segments C1, b1, h01, break, b2, h02. */
  readonly terms: readonly CurveTerm[];
  /** ln C, b, h0 (two segments: ln C1, b1, h01, break, b2, h02). */
  readonly parameters: Float64Array;
  /** Of `parameters`, row-major; zero for what was held. */
  readonly covariance: Float64Array;
  readonly level: number;
  readonly rss: number;
  /** Of ln Q (about a share: 0.05 is 5 %) or of Q. */
  readonly residualSd: number;
  readonly df: number;
  readonly bic: number;
  readonly observations: number;
  readonly lowestStage: number;
  readonly highestStage: number;
  /** Fitted discharge at each gauging, n. */
  readonly fitted: Float64Array;
  /** ln Q - ln fitted or Q - fitted, n. */
  readonly residuals: Float64Array;
  /** Duan's factor from the median curve to the mean: the mean of e^residual (ln), 1 (natural). */
  readonly smearing: number;
}

/**
 * Fits a stage-discharge rating, the power law with offset
 *
 *   Q = C·(h - h0)^b,
 *
 * by least squares in ln or natural units, in one segment or two that meet at a break. Model: ISO 18320 and ISO 1100-2 (form
 * from memory). Stage and discharge may be in any unit; C carries them. Intervals of one segment are profile intervals (where
 * the best rss rises to s²t²): that of h0 is skewed, ends below the lowest gauging, and is open (-Infinity) where the gaugings
 * can't tell the power law from an exponential; then b is open above and C below too. Smearing: N. Duan, J. Amer. Statist.
 * Assoc. 78 (1983) 605-610.
 *
 * Needs more gaugings than parameters (3, or 6 with at least 4 on either side of the break) at as many different stages, else
 * `too-few-rows`. `unbounded`: the best offset is -∞. `not-rising`: discharge does not grow with stage. In each of these the
 * numbers that do not exist are NaN.
 *
 * A rating says what was measured. Above its highest gauging there is no evidence.
 * @param stage n stages, finite
 * @param discharge n discharges, above 0
 * @throws RangeError for lengths that differ, values that are not finite, discharge ≤ 0, an offset at or above the lowest stage
 * @example
 * fitRating([0.5, 0.8, 1.2, 1.7, 2.3], [0.28, 1.42, 4.2, 9.1, 17.5]).segments[0].exponent // about 1.8
 */
export function fitRating(
  stage: ArrayLike<number>,
  discharge: ArrayLike<number>,
  { errors = 'ln', segments = 1, offset, weight, level = 0.95 }: RatingOptions = {},
): RatingFit {
  checkPairs('fitRating', { stage, discharge, weight }, { positive: ['discharge', 'weight'] });
  checkLevel('fitRating', level);
  const gaugings: Gaugings = {
    stage: Float64Array.from(stage),
    discharge: Float64Array.from(discharge),
    weight: weight ? Float64Array.from(weight) : new Float64Array(stage.length).fill(1),
  };
  const lowest = gaugings.stage.reduce((a, b) => Math.min(a, b), Infinity);
  if (offset !== undefined && !(offset < lowest && offset > -Infinity))
    throw new RangeError(`fitRating: offset must be below the lowest stage (${lowest}), got ${offset}`);
  if (offset !== undefined && segments !== 1)
    throw new RangeError('fitRating: an offset can be held with one segment only; leave out offset or segments');
  if (segments === 2) return fitTwoSegments(gaugings, { errors, level });
  const one = fitOneSegment(gaugings, { errors, level, offset });
  if (segments === 1) return one;
  const two = fitTwoSegments(gaugings, { errors, level });
  return two.status === 'converged' && !(one.bic <= two.bic) ? two : one;
}

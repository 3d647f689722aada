import { findRoot } from '../kernel/findRoot.js';
import { studentCritical } from '../kernel/studentT.js';
import { checkLevel, extentOf } from './checkPairs.js';
import type { RatingFit } from './fitRating.js';
import type { Prediction } from './types.js';

export interface RatingPredictionOptions {
  /** `curve`: where the curve lies. `gauging`: where one more gauging would fall. Default curve. */
  readonly of?: 'curve' | 'gauging';
  /** Default the rating's own level. */
  readonly level?: number;
}

/** What a query far beyond the gaugings is looked for in: this many spans above the highest. */
const SEARCH_SPANS = 1000;

/** ln Q of the rating at a stage and, in `out`, its derivatives by `parameters`. -Infinity at or below h0. */
function lnDischarge({ parameters: q }: RatingFit, stage: number, out: Float64Array): number {
  const [lnC, b1, h1, k, b2, h2] = q;
  const two = q.length > 3;
  const turn = two ? Math.min(stage, k) : stage;
  if (!(turn > h1)) return -Infinity;
  const x = Math.log(turn - h1);
  out.fill(0);
  out[0] = 1;
  out[1] = x;
  out[2] = -b1 / (turn - h1);
  if (!two || stage <= k) return lnC + b1 * x;
  const rise = Math.log((stage - h2) / (k - h2));
  out[3] = b1 / (k - h1) - b2 / (k - h2);
  out[4] = rise;
  out[5] = b2 * (1 / (k - h2) - 1 / (stage - h2));
  return lnC + b1 * x + b2 * rise;
}

function variance({ parameters, covariance }: RatingFit, gradient: Float64Array): number {
  const p = parameters.length;
  let sum = 0;
  for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) sum += gradient[a] * covariance[a * p + b] * gradient[b];
  return sum;
}

function usable(fit: RatingFit, caller: string, level: number): void {
  checkLevel(caller, level);
  if (fit.kind !== 'rating-fit') throw new TypeError(`${caller}: expected a rating fit, got ${String(fit.kind)}`);
}

/**
 * Discharge at each stage with an interval from the linearised covariance: symmetric in ln Q for a rating in ln units, in Q for
 * one in natural units (its lower end not below 0). With `of: 'gauging'` the scatter of one gauging (weight 1) is added.
 * At or below h0 the estimate is 0 and the upper end unknown (NaN). Where the fit did not converge everything is NaN.
 * In ln units the estimate is the median; times `fit.smearing` it is the mean.
 * @example predictRating(fit, [1.5, 2]) // [{ at: 1.5, estimate, lower, upper, extent }, …]
 */
export function predictRating(
  fit: RatingFit,
  stages: ArrayLike<number>,
  { of = 'curve', level = fit.level }: RatingPredictionOptions = {},
): readonly Prediction[] {
  usable(fit, 'predictRating', level);
  const t = fit.df > 0 ? studentCritical(level, { df: fit.df }) : NaN;
  const gradient = new Float64Array(fit.parameters.length);
  return Object.freeze(
    Array.from(stages, (at): Prediction => {
      const extent = extentOf(at, { lowest: fit.lowestStage, highest: fit.highestStage });
      if (fit.status !== 'converged' || !Number.isFinite(at))
        return Object.freeze({ at, estimate: NaN, lower: NaN, upper: NaN, extent });
      const ln = lnDischarge(fit, at, gradient);
      if (ln === -Infinity) return Object.freeze({ at, estimate: 0, lower: 0, upper: NaN, extent });
      const estimate = Math.exp(ln);
      const scale = fit.errors === 'ln' ? 1 : estimate;
      const scatter = of === 'gauging' ? fit.residualSd ** 2 : 0;
      const half = t * Math.sqrt(scale * scale * variance(fit, gradient) + scatter);
      return Object.freeze(
        fit.errors === 'ln'
          ? { at, estimate, lower: estimate * Math.exp(-half), upper: estimate * Math.exp(half), extent }
          : { at, estimate, lower: Math.max(0, estimate - half), upper: estimate + half, extent },
      );
    }),
  );
}

/**
 * Stage for each discharge, the inverse of the rating, with the interval by inversion: all stages whose interval from
 * `predictRating` holds that discharge. `of: 'curve'` asks at which stage the curve has it; `of: 'gauging'` at which stages a
 * gauging could have measured it. An end that is not reached is the rating's own (h0 below, Infinity above). `extent` tells
 * whether the estimated stage lies among the gaugings.
 * @throws RangeError for a discharge that is not above 0
 * @example stageForDischarge(fit, [12])[0].estimate
 */
export function stageForDischarge(
  fit: RatingFit,
  discharges: ArrayLike<number>,
  { of = 'curve', level = fit.level }: RatingPredictionOptions = {},
): readonly Prediction[] {
  usable(fit, 'stageForDischarge', level);
  return Object.freeze(
    Array.from(discharges, (at, i): Prediction => {
      if (!(at > 0 && at < Infinity))
        throw new RangeError(`stageForDischarge: discharges[${i}] must be above 0 and finite, got ${at}`);
      if (fit.status !== 'converged')
        return Object.freeze({ at, estimate: NaN, lower: NaN, upper: NaN, extent: 'inside' });
      const estimate = invert(fit, at);
      const end = (side: 'lower' | 'upper'): number => crossing(fit, { at, of, level, side, from: estimate });
      const extent = extentOf(estimate, { lowest: fit.lowestStage, highest: fit.highestStage });
      return Object.freeze({ at, estimate, lower: end('upper'), upper: end('lower'), extent });
    }),
  );
}

function invert({ segments }: RatingFit, discharge: number): number {
  const below = segments.find((s) => discharge <= s.coefficient * (s.toStage - s.offset) ** s.exponent) ?? segments[0];
  return below.offset + (discharge / below.coefficient) ** (1 / below.exponent);
}

/**
 * Where one bound of the predicted discharge passes `at`, the nearest such stage on its side of the estimate: the upper bound
 * passes it below, the lower bound above.
 */
function crossing(
  fit: RatingFit,
  {
    at,
    of,
    level,
    side,
    from,
  }: { at: number; of: 'curve' | 'gauging'; level: number; side: 'lower' | 'upper'; from: number },
): number {
  const gap = (stage: number): number => predictRating(fit, [stage], { of, level })[0][side] - at;
  const span = fit.highestStage - fit.lowestStage;
  const down = side === 'upper';
  const bottom = fit.segments[0].offset;
  let near = from;
  for (let step = 1e-4 * span; ; step *= 1.3) {
    // Downwards the walk closes in on h0 without touching it.
    const far = down ? bottom + (near - bottom) * Math.max(0.5, 1 - step / (near - bottom)) : near + step;
    const passed = down ? !(gap(far) > 0) : gap(far) > 0;
    if (passed) return findRoot(gap, { low: near, high: far });
    near = far;
    if (down && near - bottom < 1e-9 * span) return bottom;
    if (!down && near - from > SEARCH_SPANS * span) return Infinity;
  }
}

import { figures } from '../series/format.js';
import { estimate, type Estimate } from '../kernel/estimate.js';
import { known } from '../series/knownIds.js';
import { quantile } from '../kernel/quantile.js';
import type { LevelFit } from './types.js';

/** Reading of a staff at which the creek's flow would cease, from the visits. */
export interface StaffOffset extends Estimate {
  readonly kind: 'staff-offset';
  /** `line`: the visits did not need an offset, a straight line in ln flow was taken. `no-staff`: no such numeric feature, or no draws. */
  readonly status: 'ok' | 'line' | 'no-staff';
  readonly sentence: string;
  /** With 95 % probability the offset lies below this: what a look at dry weather could disprove. */
  readonly below95: number;
  /** How lopsided the interval is: (median - 2.5 %)/(97.5 % - median); above 1 the long end is below. */
  readonly skew: number;
}

/**
 * The offset of a numeric feature's power law, with intervals from the draws of the level fit: mostly skewed, because the visits bound it
 * from above and hardly from below. Percentiles (quantile type 7).
 *
 * @param fit draws of the level model. @param options.feature id of the numeric feature.
 * @returns NaN where the status is not `ok`. @throws RangeError for a feature that the fit lacks.
 * @example staffOffset(fits.effective, { feature: 'staff' }).below95
 */
export function staffOffset(fit: LevelFit, { feature }: { feature: string }): StaffOffset {
  const found = known('feature', feature, { among: fit.features, of: 'the fit' });
  const { rating } = found;
  if (rating === undefined || rating.base.length === 0 || rating.form === 'line')
    return Object.freeze({
      kind: 'staff-offset' as const,
      status: rating?.form === 'line' && rating.base.length > 0 ? ('line' as const) : ('no-staff' as const),
      sentence:
        rating?.form === 'line' && rating.base.length > 0
          ? `${found.name} was taken as a straight line in ln flow: the visits don't show where it would read no flow.`
          : `There is no reading of ${feature} to take an offset from.`,
      median: NaN,
      i80: [null, null] as const,
      i95: [null, null] as const,
      below95: NaN,
      skew: NaN,
    });
  const at = (p: number): number => quantile(rating.base, p);
  const [low, median, high] = [at(0.025), at(0.5), at(0.975)];
  const unit = found.unit === undefined ? '' : ` ${found.unit}`;
  return Object.freeze({
    kind: 'staff-offset' as const,
    status: 'ok' as const,
    sentence:
      `${found.name} would read about ${figures(median)}${unit} at no flow ` +
      `(95 % between ${figures(low)} and ${figures(high)}${unit}).`,
    ...estimate(rating.base),
    below95: at(0.95),
    skew: (median - low) / (high - median),
  });
}

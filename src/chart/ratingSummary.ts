import type { LevelFit } from '../fit/types.js';
import { quantileSorted } from '../kernel/quantile.js';
import { estimate } from './estimate.js';
import type { RatingSummary } from './types.js';

/**
 * What each numeric feature (a painted staff) reads over the gauge values of the odds table.
 *
 * `power`: reading = base + exp((x - a)/p), exponent 1/p of the gauge value (ISO 18320's form with offset).
 * `line`: reading = base + p·x; its exponent is the slope p, per ln unit of the gauge value.
 * The band is the middle 80 % of the curve over draws, without mismatch and reading noise, which are given beside it.
 *
 * @param options.gaugeValues ascending, in the gauge's unit (V).
 * @returns one summary per numeric feature, in the fit's order.
 */
export function ratingSummaries(
  fit: LevelFit,
  { gaugeValues }: { gaugeValues: readonly number[] },
): readonly RatingSummary[] {
  const out: RatingSummary[] = [];
  for (const { id, unit, rating } of fit.features) {
    if (rating === undefined) continue;
    const { form, base, a, p, noise } = rating;
    const bands = gaugeValues.map((gauge) => {
      const x = Math.log(gauge - fit.offset);
      const curve = base.map((b, d) => b + (form === 'power' ? Math.exp((x - a[d]) / p[d]) : p[d] * x)).sort();
      return [quantileSorted(curve, 0.1), quantileSorted(curve, 0.5), quantileSorted(curve, 0.9)] as const;
    });
    out.push(
      Object.freeze({
        feature: id,
        unit: unit ?? '',
        form,
        base: estimate(base),
        exponent: estimate(form === 'power' ? p.map((value) => 1 / value) : p),
        noise: estimate(noise),
        median: Object.freeze(bands.map((b) => b[1])),
        low80: Object.freeze(bands.map((b) => b[0])),
        high80: Object.freeze(bands.map((b) => b[2])),
      }),
    );
  }
  return Object.freeze(out);
}

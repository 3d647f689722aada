import { readingNoise } from '../fit/readingNoise.js';
import { ratingAt } from '../fit/ratingAt.js';
import type { LevelFit } from '../fit/types.js';
import { normalQuantile } from '../kernel/normal.js';
import { quantileSorted } from '../kernel/quantile.js';
import { estimate } from '../kernel/estimate.js';
import type { RatingSummary } from './types.js';

/** Readings thought up for each draw. */
const READINGS_PER_DRAW = 2;

/**
 * Steps of the evenly spread points in the unit square: 1/g and 1/g², g the real root of g³ = g + 1 (M. Roberts' "R2" sequence; from
 * memory).
 */
const STEPS = [0.7548776662466927, 0.5698402909980532] as const;

/**
 * What each numeric feature (a painted staff) reads over the gauge values of the odds table.
 *
 * `power`: reading = base + exp((x - a)/p), exponent 1/p of the gauge value (ISO 18320's form with offset).
 * `line`: reading = base + (x - a)/p; its exponent is the slope 1/p, in the feature's unit per ln unit of the gauge value.
 * Two power laws that meet at a break: base and exponent are the lower one's, `upper` has the gauge value of the break and the exponent
 * above it. low80 and high80 are the middle 80 % of the curve over draws; readingLow80 and readingHigh80 those of one reading by the
 * average observer, mismatch and noise integrated out. A noise that grows with the height is stated at the gauge value `noiseAtGauge`.
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
    const { form, base, p, noise, noiseForm, upper } = rating;
    const readings = evenPairs(READINGS_PER_DRAW * base.length);
    const bands = gaugeValues.map((gauge) => {
      const x = Math.log(gauge - fit.offset);
      const curve = base.map((_, d) => ratingAt(rating, x, d)).sort();
      const one = readings.state.map((z, r) => {
        const d = Math.floor(r / READINGS_PER_DRAW);
        const c = x + fit.draws.mismatch[d] * z;
        return ratingAt(rating, c, d) + readingNoise(rating, { draw: d, c }) * readings.noise[r];
      });
      one.sort();
      return {
        curve: [0.1, 0.5, 0.9].map((q) => quantileSorted(curve, q)),
        one: [0.1, 0.9].map((q) => quantileSorted(one, q)),
      };
    });
    out.push(
      Object.freeze({
        feature: id,
        unit: unit ?? '',
        form,
        base: estimate(base),
        exponent: estimate(p.map((value) => 1 / value)),
        ...(upper !== undefined && {
          upper: Object.freeze({
            from: fit.offset + Math.exp(upper.breakAt),
            exponent: estimate(upper.p.map((value) => 1 / value)),
          }),
        }),
        noise: estimate(noise),
        noiseForm,
        noiseAtGauge: noiseForm === 'growing' ? fit.offset + Math.exp(rating.noiseAt) : null,
        median: Object.freeze(bands.map(({ curve }) => curve[1])),
        low80: Object.freeze(bands.map(({ curve }) => curve[0])),
        high80: Object.freeze(bands.map(({ curve }) => curve[2])),
        readingLow80: Object.freeze(bands.map(({ one }) => one[0])),
        readingHigh80: Object.freeze(bands.map(({ one }) => one[1])),
      }),
    );
  }
  return Object.freeze(out);
}

/** Standard normal pairs, spread evenly over the plane rather than drawn: no seed, and no scatter of their own to speak of. */
function evenPairs(count: number): { state: Float64Array; noise: Float64Array } {
  const at = (step: number): Float64Array =>
    Float64Array.from({ length: count }, (_, r) => normalQuantile((0.5 + (r + 1) * step) % 1));
  return { state: at(STEPS[0]), noise: at(STEPS[1]) };
}

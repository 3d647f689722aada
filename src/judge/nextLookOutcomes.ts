import type { FittedFeature, LevelFit } from '../fit/types.js';
import { gaussHermite } from '../kernel/gaussHermite.js';
import { normalCdf } from '../kernel/normal.js';
import { cumulativeOdds } from './cumulativeOdds.js';

/** A number is sorted into this many bins of about even odds: finer ones tell next to nothing more of where the water stood. */
export const NUMBER_BINS = 16;

/** Nine nodes integrate the wider of two normal factors well while the narrower one is smooth on their spacing. */
const RULE = gaussHermite(9);

/** Draws that the bins are laid by. */
const BIN_DRAWS = 60;

/**
 * Outcomes of one sighting of a feature while the gauge stands steady at x, by the average observer (bias 0), mismatch and blur integrated out.
 * Steady: every lag and storage reads the same.
 *
 * @param fit D draws. @param options.feature what is looked at; options.x ln(reading - offset).
 * @returns p[d·J + j], each draw sums to 1: the J classes of the feature, or NUMBER_BINS bins of its number.
 */
export function lookOutcomes(
  fit: Pick<LevelFit, 'draws' | 'link'>,
  { feature, x }: { feature: FittedFeature; x: number },
): Float64Array {
  return feature.rating === undefined ? classOutcomes(fit, { feature, x }) : numberOutcomes(fit, { feature, x });
}

function classOutcomes(
  { draws, link }: Pick<LevelFit, 'draws' | 'link'>,
  { feature, x }: { feature: FittedFeature; x: number },
): Float64Array {
  const D = draws.count;
  const J = feature.classes.length;
  const out = new Float64Array(D * J);
  const draw = { mismatch: 0, blur: 0, link };
  for (let d = 0; d < D; d++) {
    draw.mismatch = draws.mismatch[d];
    draw.blur = feature.blur[d];
    let below = 0;
    for (let k = 0; k < J - 1; k++) {
      const upTo = cumulativeOdds(feature.edges[d * (J - 1) + k] - x, draw);
      out[d * J + k] = upTo - below;
      below = upTo;
    }
    out[d * J + J - 1] = 1 - below;
  }
  return out;
}

/** Binning a number throws information away, so what it tells is never overstated by it. */
function numberOutcomes(
  { draws }: Pick<LevelFit, 'draws'>,
  { feature, x }: { feature: FittedFeature; x: number },
): Float64Array {
  const D = draws.count;
  const rating = feature.rating!;
  const cuts = evenCuts(draws, { rating, x });
  const J = cuts.length + 1;
  const out = new Float64Array(D * J);
  for (let d = 0; d < D; d++) {
    let below = 0;
    for (let j = 0; j < J - 1; j++) {
      const upTo = oddsUpTo(cuts[j], { rating, d, x, mismatch: draws.mismatch[d] });
      out[d * J + j] = upTo - below;
      below = upTo;
    }
    out[d * J + J - 1] = 1 - below;
  }
  return out;
}

type Rating = NonNullable<FittedFeature['rating']>;

/** What the feature shows at state c under draw d. */
function shown({ form, base, a, p }: Rating, { d, c }: { d: number; c: number }): number {
  const z = (c - a[d]) / p[d];
  return base[d] + (form === 'power' ? Math.exp(z) : z);
}

/**
 * P(number <= cut) under draw d. Integrated over whichever of mismatch and reading noise is the narrower in ln units, the other one being the smooth
 * factor; one choice a draw, so that it never descends in cut.
 */
function oddsUpTo(
  cut: number,
  { rating, d, x, mismatch }: { rating: Rating; d: number; x: number; mismatch: number },
): number {
  const { form, base, a, p, noise } = rating;
  const { nodes, weights } = RULE;
  const height = shown(rating, { d, c: x }) - base[d];
  const noiseLn = form === 'line' ? noise[d] * p[d] : (noise[d] * p[d]) / Math.max(height, noise[d]);
  let sum = 0;
  if (noiseLn <= mismatch) {
    for (let i = 0; i < nodes.length; i++) {
      const above = cut - noise[d] * nodes[i] - base[d];
      const z = form === 'line' ? above : above > 0 ? Math.log(above) : -Infinity;
      sum += weights[i] * normalCdf((a[d] + p[d] * z - x) / mismatch);
    }
  } else {
    for (let i = 0; i < nodes.length; i++)
      sum += weights[i] * normalCdf((cut - shown(rating, { d, c: x + mismatch * nodes[i] })) / noise[d]);
  }
  return sum;
}

/** Cuts between bins of about even odds, ascending; fewer where the number hardly moves. */
function evenCuts(draws: LevelFit['draws'], { rating, x }: { rating: Rating; x: number }): readonly number[] {
  const { nodes, weights } = RULE;
  const take = Math.min(BIN_DRAWS, draws.count);
  const seen: { value: number; weight: number }[] = [];
  for (let k = 0; k < take; k++) {
    const d = Math.floor(((k + 0.5) * draws.count) / take);
    for (let i = 0; i < nodes.length; i++) {
      const centre = shown(rating, { d, c: x + draws.mismatch[d] * nodes[i] });
      for (let n = 0; n < nodes.length; n++)
        seen.push({ value: centre + rating.noise[d] * nodes[n], weight: weights[i] * weights[n] });
    }
  }
  seen.sort((one, other) => one.value - other.value);
  const cuts: number[] = [];
  let sum = 0;
  for (const { value, weight } of seen) {
    sum += weight / take;
    if (sum >= (cuts.length + 1) / NUMBER_BINS && cuts.length < NUMBER_BINS - 1 && value > (cuts.at(-1) ?? -Infinity))
      cuts.push(value);
  }
  return cuts;
}

import { readingNoise } from '../fit/readingNoise.js';
import { ratingAt, ratingSlope, stateAt, type FittedRating } from '../fit/ratingAt.js';
import type { FittedFeature, LevelFit } from '../fit/types.js';
import { gaussHermite } from '../kernel/gaussHermite.js';
import { normalCdf, normalQuantile } from '../kernel/normal.js';
import { quantileSorted } from '../kernel/quantile.js';
import { cumulativeOdds } from './cumulativeOdds.js';

/** A number is sorted into this many bins of about even odds: finer ones tell next to nothing more of where the water stood. */
export const NUMBER_BINS = 16;

/** Nine nodes integrate the wider of two normal factors well while the narrower one is smooth on their spacing. */
const RULE = gaussHermite(9);

/** Draws that the bins are laid by, and steps of even odds through mismatch and noise. */
const BIN_DRAWS = 40;
const STATE_STEPS = evenSteps(16);
const NOISE_STEPS = evenSteps(4);

function evenSteps(n: number): readonly number[] {
  return Array.from({ length: n }, (_, i) => normalQuantile((i + 0.5) / n));
}

/** Somebody who may look next: index in the fit's observers (-1: the average one, bias 0), and how likely it is. */
export interface NextObserver {
  readonly observer: number;
  readonly share: number;
}

export const AVERAGE_OBSERVER: readonly NextObserver[] = [{ observer: -1, share: 1 }];

interface Look {
  readonly feature: FittedFeature;
  readonly x: number;
  readonly observer: number;
}

/**
 * Outcomes of one sighting of a feature while the gauge stands steady at x, mismatch and blur integrated out. Steady: every lag and
 * storage reads the same. Who looks is part of the outcome, as it will be known; somebody with an open bias of their own tells less of the
 * edges.
 *
 * @param fit D draws.
 * @param options.feature what is looked at; options.x ln(reading - offset); options.observers who may look, shares that sum to 1.
 * @returns p[(d·O + o)·J + j], each draw sums to 1: the J classes of the feature, or up to NUMBER_BINS bins of its number.
 */
export function lookOutcomes(
  fit: Pick<LevelFit, 'draws' | 'link' | 'observers'>,
  {
    feature,
    x,
    observers = AVERAGE_OBSERVER,
  }: { feature: FittedFeature; x: number; observers?: readonly NextObserver[] },
): Float64Array {
  const of = feature.rating === undefined ? classOutcomes : numberOutcomes;
  const each = observers.map(({ observer }) => of(fit, { feature, x, observer }));
  const D = fit.draws.count;
  const J = each[0].length / D;
  const O = observers.length;
  const out = new Float64Array(D * O * J);
  for (let o = 0; o < O; o++)
    for (let d = 0; d < D; d++)
      for (let j = 0; j < J; j++) out[(d * O + o) * J + j] = observers[o].share * each[o][d * J + j];
  return out;
}

/** x as this observer sees it under draw d. */
function seenX({ draws, observers }: Pick<LevelFit, 'draws' | 'observers'>, { x, observer }: Look, d: number): number {
  return observer < 0 ? x : x + draws.bias[d * observers.length + observer];
}

function classOutcomes(fit: Pick<LevelFit, 'draws' | 'link' | 'observers'>, look: Look): Float64Array {
  const { draws, link } = fit;
  const { feature } = look;
  const D = draws.count;
  const J = feature.classes.length;
  const out = new Float64Array(D * J);
  const draw = { mismatch: 0, blur: 0, link };
  for (let d = 0; d < D; d++) {
    draw.mismatch = draws.mismatch[d];
    draw.blur = feature.blur[d];
    const x = seenX(fit, look, d);
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
function numberOutcomes(fit: Pick<LevelFit, 'draws' | 'link' | 'observers'>, look: Look): Float64Array {
  const { draws } = fit;
  const D = draws.count;
  const rating = look.feature.rating!;
  const cuts = evenCuts(fit, { rating, look });
  const J = cuts.length + 1;
  const out = new Float64Array(D * J);
  for (let d = 0; d < D; d++) {
    const x = seenX(fit, look, d);
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

/**
 * P(number <= cut) under draw d. Integrated over whichever of mismatch and reading noise is the narrower in ln units, the other one being
 * the smooth factor; one choice a draw, so that it never descends in cut.
 */
function oddsUpTo(
  cut: number,
  { rating, d, x, mismatch }: { rating: FittedRating; d: number; x: number; mismatch: number },
): number {
  const { form, base, a, p, noise, noiseForm } = rating;
  const { nodes, weights } = RULE;
  const growing = noiseForm === 'growing';
  const height = ratingAt(rating, x, d) - base[d];
  const here = readingNoise(rating, { draw: d, c: x });
  // Near the foot of a power law, where it is flat, the slope a noise above it.
  const noiseLn = here / Math.max(ratingSlope(rating, x, d), form === 'line' ? 0 : here / p[d]);
  let sum = 0;
  if (noiseLn <= mismatch) {
    for (let i = 0; i < nodes.length; i++) {
      if (growing) {
        // Number = base + height(c)·factor, the factor the same at all heights.
        const factor = 1 + (here / height) * nodes[i];
        const share = (cut - base[d]) / factor;
        const under = share > 0 ? normalCdf((a[d] + p[d] * Math.log(share) - x) / mismatch) : 0;
        sum += weights[i] * (factor > 0 ? under : 1 - under);
        continue;
      }
      sum += weights[i] * normalCdf((stateAt(rating, cut - noise[d] * nodes[i], d) - x) / mismatch);
    }
  } else {
    for (let i = 0; i < nodes.length; i++) {
      const c = x + mismatch * nodes[i];
      sum += weights[i] * normalCdf((cut - ratingAt(rating, c, d)) / readingNoise(rating, { draw: d, c }));
    }
  }
  return sum;
}

/** Cuts between bins of about even odds, ascending; fewer where the number hardly moves. */
function evenCuts(
  fit: Pick<LevelFit, 'draws' | 'observers'>,
  { rating, look }: { rating: FittedRating; look: Look },
): readonly number[] {
  const { draws } = fit;
  const take = Math.min(BIN_DRAWS, draws.count);
  const seen: number[] = [];
  for (let k = 0; k < take; k++) {
    const d = Math.floor(((k + 0.5) * draws.count) / take);
    const x = seenX(fit, look, d);
    for (const z of STATE_STEPS) {
      const c = x + draws.mismatch[d] * z;
      const centre = ratingAt(rating, c, d);
      for (const u of NOISE_STEPS) seen.push(centre + readingNoise(rating, { draw: d, c }) * u);
    }
  }
  const sorted = Float64Array.from(seen).sort();
  const cuts: number[] = [];
  for (let j = 1; j < NUMBER_BINS; j++) {
    const cut = quantileSorted(sorted, j / NUMBER_BINS);
    if (cut > (cuts.at(-1) ?? -Infinity)) cuts.push(cut);
  }
  return cuts;
}

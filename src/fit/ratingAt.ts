import type { FittedFeature, RatingForm } from './types.js';

export type FittedRating = NonNullable<FittedFeature['rating']>;

/** The form that a rating was fitted in. */
export function ratingFormOf({ form, upper, noiseForm }: FittedRating): RatingForm {
  return upper !== undefined ? 'segments' : noiseForm === 'growing' ? 'growing' : form;
}

/** What a numeric feature shows at state c under draw d, without noise. */
export function ratingAt(rating: FittedRating, c: number, d: number): number {
  const { base, a, p } = segmentAt(rating, c);
  const z = (c - a[d]) / p[d];
  return base[d] + (rating.form === 'line' ? z : Math.exp(z));
}

/** Its slope there, per ln unit of the state. */
export function ratingSlope(rating: FittedRating, c: number, d: number): number {
  const { a, p } = segmentAt(rating, c);
  return rating.form === 'line' ? 1 / p[d] : Math.exp((c - a[d]) / p[d]) / p[d];
}

/** The state at which it shows a number under draw d; -Infinity at or below its offset. */
export function stateAt(rating: FittedRating, reading: number, d: number): number {
  const { form, upper, base, a, p } = rating;
  if (form === 'line') return a[d] + p[d] * (reading - base[d]);
  const above = upper !== undefined && reading > ratingAt(rating, upper.breakAt, d);
  const own = above ? upper : { base, a, p };
  const height = reading - own.base[d];
  return height > 0 ? own.a[d] + own.p[d] * Math.log(height) : -Infinity;
}

/** Which power law holds at c: the lower one up to the break. */
function segmentAt(rating: FittedRating, c: number): Pick<FittedRating, 'base' | 'a' | 'p'> {
  const { upper } = rating;
  return upper !== undefined && c > upper.breakAt ? upper : rating;
}

import type { FittedFeature } from './types.js';

/** The noise of a numeric feature, as its fit holds it. */
export type RatingNoise = Pick<NonNullable<FittedFeature['rating']>, 'p' | 'noise' | 'noiseForm' | 'noiseAt'>;

/**
 * Noise sd of one reading of a numeric feature while the creek's state is c, in the feature's unit: noise, or where it grows
 * noise·exp((c - noiseAt)/p), in proportion to the height above the offset.
 *
 * @param options.draw which draw. @param options.c state, ln units.
 * @example readingNoise(rating, { draw: 0, c: Math.log(12) })
 */
export function readingNoise(
  { p, noise, noiseForm, noiseAt }: RatingNoise,
  { draw, c }: { draw: number; c: number },
): number {
  return noiseForm === 'growing' ? noise[draw] * Math.exp((c - noiseAt) / p[draw]) : noise[draw];
}

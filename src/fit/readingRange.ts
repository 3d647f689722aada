import { quantileSorted } from '../kernel/quantile.js';

/** Share of sightings that are read or written grossly wrong; assumed. */
const GROSS_SHARE = 0.01;
/** Readings farther outside the quartiles than this many times their distance are no part of the range (Tukey's outer fences). */
const FENCE = 3;

/**
 * Lowest of a feature's readings and their range, numbers far outside left out. Without a reading the prior alone is left, and any range
 * will do.
 */
export function readingRange(values: Float64Array): { low: number; range: number } {
  if (values.length === 0) return { low: 0, range: 1 };
  const sorted = values.toSorted();
  const [q1, q3] = [quantileSorted(sorted, 0.25), quantileSorted(sorted, 0.75)];
  const inside = sorted.filter((v) => v >= q1 - FENCE * (q3 - q1) && v <= q3 + FENCE * (q3 - q1));
  const low = inside[0];
  return { low, range: Math.max(inside[inside.length - 1] - low, 1e-3 * Math.abs(low), 1e-6) };
}

/** Density of a number that is grossly wrong: any over twice the range of the readings. */
export function grossDensity(range: number): number {
  return 1 / (2 * range);
}

/** λ of a class: when grossly wrong, any of the K. */
export function grossClassTerm(K: number): number {
  return GROSS_SHARE / (1 - GROSS_SHARE) / K;
}

/** λ of the level model: share times density of wrong numbers, against the share of sound ones. */
export function grossTerm(range: number): number {
  return (GROSS_SHARE / (1 - GROSS_SHARE)) * grossDensity(range);
}

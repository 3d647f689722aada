import { levenberg, type LevenbergDiary, type Residuals } from '../kernel/levenberg.js';
import { findRoot } from '../kernel/findRoot.js';

/** Standard errors walked before an end counts as open. */
const FARTHEST = 400;
const FIRST_STRIDE = 0.5;

/**
 * Both ends of the profile interval of one parameter: where the smallest residual sum of squares with the parameter held
 * reaches rss + s²t². Each side is walked outwards in growing strides, every fit started from its neighbour's, then the
 * crossing is closed in on. An end that is not reached within 400 standard errors is infinite; one where the model's domain
 * ends first is that last good value.
 */
export function profileLimits(
  residuals: Residuals,
  {
    diary,
    n,
    term,
    t,
    standardError,
    held = [],
  }: {
    diary: LevenbergDiary;
    n: number;
    term: number;
    t: number;
    standardError: number;
    /** Parameters that were not fitted either. */
    held?: readonly number[];
  },
): { lower: number; upper: number } {
  const df = n - diary.point.length + held.length;
  const rise = (t * t * diary.rss) / df;
  if (!(rise > 0)) return { lower: diary.point[term], upper: diary.point[term] };
  const side = (sign: -1 | 1): number => {
    let near = diary.point;
    // Signed root of the rise, about straight in the parameter: ±t at the end of the interval.
    const heightAt = (offset: number): number => {
      const start = near.slice();
      start[term] = diary.point[term] + sign * offset;
      if (!residuals(start, new Float64Array(n))) return NaN;
      const best = levenberg(residuals, start, { n, held: [...held, term], maxIterations: 200 });
      near = best.point;
      return Math.sqrt(Math.max(0, best.rss - diary.rss)) - Math.sqrt(rise);
    };
    let inside = 0;
    let stride = FIRST_STRIDE * standardError;
    while (inside < FARTHEST * standardError) {
      const before = near;
      const height = heightAt(inside + stride);
      if (height !== height) {
        near = before;
        stride /= 2;
        if (stride < 1e-10 * standardError) return diary.point[term] + sign * inside;
        continue;
      }
      if (height >= 0) {
        near = before;
        return diary.point[term] + sign * findRoot(heightAt, { low: inside, high: inside + stride });
      }
      inside += stride;
      stride *= 1.4;
    }
    return sign * Infinity;
  };
  return { lower: side(-1), upper: side(1) };
}

import { incompleteBeta, lnBeta } from './incompleteBeta.js';
import { normalCdf, normalQuantile } from './normal.js';

/** P(T > |t|), in full relative precision however small. */
function tail(size: number, df: number): number {
  if (df === Infinity) return normalCdf(-size);
  const square = size * size;
  if (square === Infinity) return 0;
  return 0.5 * incompleteBeta(df / (df + square), { a: df / 2, b: 0.5, complement: square / (df + square) });
}

/**
 * Distribution function of Student's t: P(T ≤ t) with df > 0 degrees of freedom (Infinity: the normal), through the
 * incomplete beta function (Abramowitz & Stegun 26.7.1). About 14 digits in both tails; NaN for NaN or df ≤ 0.
 * @example studentCdf(2.228138851964939, { df: 10 }) // 0.975
 */
export function studentCdf(t: number, { df }: { df: number }): number {
  if (!(df > 0) || t !== t) return NaN;
  const outside = tail(Math.abs(t), df);
  return t > 0 ? 1 - outside : outside;
}

/** Density of Student's t. */
export function studentPdf(t: number, { df }: { df: number }): number {
  return Math.exp(-0.5 * (df + 1) * Math.log1p((t * t) / df) - lnBeta(df / 2, 0.5) - 0.5 * Math.log(df));
}

/**
 * Quantile of Student's t: the t with P(T ≤ t) = p. Bisection on a bracket that is doubled until it holds, finished by
 * Newton's steps on the logarithm of the tail. -Infinity and Infinity at p = 0 and 1, NaN outside.
 * @example studentQuantile(0.975, { df: 10 }) // 2.228138851964939
 */
export function studentQuantile(p: number, { df }: { df: number }): number {
  if (!(p >= 0 && p <= 1 && df > 0)) return NaN;
  if (p === 0 || p === 1) return p === 0 ? -Infinity : Infinity;
  if (df === Infinity) return normalQuantile(p);
  if (p === 0.5) return 0;
  const share = Math.min(p, 1 - p);
  let low = 0;
  let high = 1;
  while (tail(high, df) > share && high < 1e300) {
    low = high;
    high *= 2;
  }
  let t = 0.5 * (low + high);
  for (let step = 0; step < 200; step++) {
    const outside = tail(t, df);
    if (outside > share) low = t;
    else high = t;
    // Newton on ln(tail): it is nearly straight where the tail itself is not.
    const next = t + (Math.log(outside / share) * outside) / studentPdf(t, { df });
    const inside = next > low && next < high ? next : 0.5 * (low + high);
    if (Math.abs(inside - t) <= 1e-16 * t || high - low <= 1e-16 * high) break;
    t = inside;
  }
  return p < 0.5 ? -t : t;
}

/** t for a two-sided interval of this level, e.g. 2.228 for 0.95 and 10 degrees of freedom. */
export function studentCritical(level: number, { df }: { df: number }): number {
  return -studentQuantile((1 - level) / 2, { df });
}

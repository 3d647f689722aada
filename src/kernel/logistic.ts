/** The standard logistic distribution, F(x) = 1/(1 + e^{-x}); every form keeps its relative precision in both tails. */

/** F(x), from whichever exponential is below 1. */
export function logisticCdf(x: number): number {
  if (x >= 0) return 1 / (1 + Math.exp(-x));
  const e = Math.exp(x);
  return e / (1 + e);
}

/** ln F(x) = -ln(1 + e^{-x}). */
export function logLogisticCdf(x: number): number {
  return x >= 0 ? -Math.log1p(Math.exp(-x)) : x - Math.log1p(Math.exp(x));
}

/** f(x) = F(x)(1 - F(x)). */
export function logisticPdf(x: number): number {
  const e = Math.exp(x < 0 ? x : -x);
  return e / ((1 + e) * (1 + e));
}

/** F⁻¹(p) = ln p - ln(1 - p); 0 gives -Infinity, 1 gives Infinity, outside [0, 1] NaN. */
export function logisticQuantile(p: number): number {
  if (!(p > 0 && p < 1)) return p === 0 ? -Infinity : p === 1 ? Infinity : NaN;
  // Near one half the two logarithms cancel; p - 1/2 is exact there.
  if (p > 0.25 && p < 0.75) return 2 * Math.atanh(2 * (p - 0.5));
  return Math.log(p) - Math.log1p(-p);
}

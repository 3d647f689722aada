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

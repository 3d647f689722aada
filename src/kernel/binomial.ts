import { lnGamma } from './incompleteBeta.js';

/** P(X = k) for X ~ Binomial(n, p), 0 < p < 1. */
export function binomialPmf(k: number, { n, p }: { n: number; p: number }): number {
  if (k < 0 || k > n) return 0;
  const ways = lnGamma(n + 1) - lnGamma(k + 1) - lnGamma(n - k + 1);
  return Math.exp(ways + k * Math.log(p) + (n - k) * Math.log1p(-p));
}

/**
 * Two-sided exact p-value of k successes in n trials at p = 1/2: twice the smaller tail, at most 1.
 * @example signProbability(1, { n: 5 }) // 0.375
 */
export function signProbability(k: number, { n }: { n: number }): number {
  let sum = 0;
  for (let i = 0; i <= Math.min(k, n - k); i++) sum += binomialPmf(i, { n, p: 0.5 });
  return Math.min(1, 2 * sum);
}

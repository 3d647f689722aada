import { findRoot } from './findRoot.js';
import { incompleteBeta } from './incompleteBeta.js';

/**
 * Exact interval of a proportion after Clopper and Pearson: the ends are the beta quantiles B(α/2; x, n - x + 1) and B(1 - α/2; x + 1, n -
 * x). Neither x nor n need be whole: with the effective number of independent units for n it is the interval of E. L. Korn and B. I.
 * Graubard, "Confidence intervals for proportions with small expected number of positive counts estimated from survey data", Survey
 * Methodology 24 (1998) 193-201.
 *
 * Both ends rise with x.
 * @param x successes, 0 to n.
 * @param options.n units, above 0.
 * @param options.level default 0.8; its upper end is also the one-sided bound at 0.9.
 * @returns [NaN, NaN] outside the domain
 * @example exactInterval(0, { n: 8 })[1] // 1 - 0.1 ** (1 / 8)
 */
export function exactInterval(x: number, { n, level = 0.8 }: { n: number; level?: number }): readonly [number, number] {
  if (!(n > 0 && x >= 0 && x <= n && level > 0 && level < 1)) return [NaN, NaN];
  const tail = (1 - level) / 2;
  const quantile = (p: number, shape: { a: number; b: number }): number =>
    findRoot((u) => incompleteBeta(u, shape) - p, { low: 0, high: 1 });
  return [
    x === 0 ? 0 : quantile(tail, { a: x, b: n - x + 1 }),
    x === n ? 1 : quantile(1 - tail, { a: x + 1, b: n - x }),
  ];
}

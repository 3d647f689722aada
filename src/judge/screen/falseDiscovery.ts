/**
 * Share of the passing gauges that may be there by chance, where nothing else is asked for. Weather that lasts longer than a look makes the
 * permutation's odds a little too small: asked for 5 %, a gauge that says nothing was recommended in 4.5 and 7 % of simulated runs
 * (validation/screen.json has those of this rate, on other seeds).
 */
export const SCREEN_RATE = 0.025;

/**
 * Adjusted p-values by the step-up rule of Benjamini and Hochberg: rejecting where they are at most q keeps the expected share of false
 * discoveries at q, for independent tests and for those that lean one way together, as gauges under one weather do.
 *
 * @source Y. Benjamini and Y. Hochberg, Journal of the Royal Statistical Society B 57 (1995) 289; for positive dependence Y. Benjamini and
 * D. Yekutieli, Annals of Statistics 29 (2001) 1165. `p.adjust(p, "BH")` of R.
 * @param p n values in any order; NaN stays NaN and counts as no test.
 * @returns n adjusted values.
 * @example benjaminiHochberg([0.01, 0.04, 0.03]) // [0.03, 0.04, 0.04]
 */
export function benjaminiHochberg(p: readonly number[]): number[] {
  const order = [...p.keys()].filter((i) => p[i] === p[i]).sort((a, b) => p[b]! - p[a]!);
  const out = p.map(() => NaN);
  let least = 1;
  order.forEach((i, at) => {
    least = Math.min(least, (p[i]! * order.length) / (order.length - at));
    out[i] = least;
  });
  return out;
}

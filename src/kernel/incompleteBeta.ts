/** Lanczos coefficients for g = 7, nine terms (P. Godfrey's set; from memory, held by the tests to factorials and to reflection). */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];
const HALF_LN_TWO_PI = 0.9189385332046728;

/**
 * ln Γ(x) for x > 0, to about 1e-15 relative (absolute near x = 1 and 2, where it crosses zero). From 12 on Stirling's series
 * (Abramowitz & Stegun 6.1.41), below it Lanczos (C. Lanczos, SIAM J. Numer. Anal. B 1 (1964) 86-96). NaN for x ≤ 0.
 * @example lnGamma(5) // ln 24
 */
export function lnGamma(x: number): number {
  if (!(x > 0)) return NaN;
  if (x >= 12) return (x - 0.5) * Math.log(x) - x + HALF_LN_TWO_PI + stirlingRest(x);
  const z = x - 1;
  let sum = LANCZOS[0];
  for (let k = 1; k < LANCZOS.length; k++) sum += LANCZOS[k] / (z + k);
  const t = z + 7.5;
  return HALF_LN_TWO_PI + (z + 0.5) * Math.log(t) - t + Math.log(sum);
}

/** ln Γ(x) - (x - 1/2)·ln x + x - ln √(2π), for x ≥ 12. */
function stirlingRest(x: number): number {
  const s = 1 / (x * x);
  return (
    (1 / 12 + s * (-1 / 360 + s * (1 / 1260 + s * (-1 / 1680 + s * (1 / 1188 + s * (-691 / 360360 + s / 156)))))) / x
  );
}

/**
 * ln B(a, b). With a large argument the big terms of the three ln Γ are cancelled on paper, not in floating point: a thousand
 * degrees of freedom would otherwise cost four digits.
 */
export function lnBeta(a: number, b: number): number {
  const small = Math.min(a, b);
  const large = Math.max(a, b);
  if (large < 12) return lnGamma(small) + lnGamma(large) - lnGamma(small + large);
  // ln Γ(large) - ln Γ(small + large) by Stirling, with ln(1 + small/large) kept whole.
  const both = small + large;
  return (
    lnGamma(small) -
    (large - 0.5) * Math.log1p(small / large) -
    small * Math.log(both) +
    small +
    stirlingRest(large) -
    stirlingRest(both)
  );
}

/**
 * Regularised incomplete beta function I_x(a, b) = ∫₀ˣ u^{a-1}(1-u)^{b-1} du / B(a, b), by its continued fraction (Lentz's
 * method; Abramowitz & Stegun 26.5.8), on the side where that converges fast. `complement` = 1 - x may be given where it is
 * known better than the subtraction gives it.
 * @param x from 0 to 1
 * @param shape a > 0 and b > 0
 * @returns NaN outside the domain
 * @example incompleteBeta(0.5, { a: 2, b: 2 }) // 0.5
 */
export function incompleteBeta(
  x: number,
  { a, b, complement = 1 - x }: { a: number; b: number; complement?: number },
): number {
  if (!(a > 0 && b > 0 && x >= 0 && complement >= 0)) return NaN;
  if (x === 0 || complement === 0) return x === 0 ? 0 : 1;
  const front = Math.exp(a * Math.log(x) + b * Math.log(complement) - lnBeta(a, b));
  return x < (a + 1) / (a + b + 2) ? (front * fraction(x, a, b)) / a : 1 - (front * fraction(complement, b, a)) / b;
}

const TINY = 1e-300;

function fraction(x: number, a: number, b: number): number {
  const guard = (v: number): number => (Math.abs(v) < TINY ? TINY : v);
  let c = 1;
  let d = 1 / guard(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m <= 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / guard(1 + even * d);
    c = guard(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / guard(1 + odd * d);
    c = guard(1 + odd / c);
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return h;
}

import { logisticCdf, logLogisticCdf } from './logistic.js';
import {
  LOG_SQRT_TWO_PI,
  SQRT_TWO_PI,
  expHalfSquare,
  normalCdf,
  scaledUpperTail,
  tailDefect,
  upperTail,
} from './normal.js';

/** 0: probit, F = Φ. 1: logit, F(x) = 1/(1 + e^{-x}). A number, so that inner loops switch on it for free. */
export type LinkCode = 0 | 1;

/** Width below which a probit cell is summed from the density at its middle, in units of 1/max(1, |middle|). */
const NARROW = 0.1;

/**
 * (Φ(b) - Φ(a))/(h·φ(m)) for a narrow cell, h = b - a, m its middle: Taylor's series
 * 1 + Σ He_{2k}(m)·(h/2)^{2k}/(2k+1)!, with He the probabilists' Hermite polynomials. Four terms leave 1e-16.
 */
function narrowSeries(m: number, h: number): number {
  const q = 0.25 * h * h;
  const m2 = m * m;
  const he2 = m2 - 1;
  const he4 = (m2 - 6) * m2 + 3;
  const he6 = ((m2 - 15) * m2 + 45) * m2 - 15;
  const he8 = (((m2 - 28) * m2 + 210) * m2 - 420) * m2 + 105;
  return 1 + q * (he2 / 6 + q * (he4 / 120 + q * (he6 / 5040 + (q * he8) / 362880)));
}

function isNarrow(a: number, b: number): boolean {
  const m = 0.5 * (a + b);
  return (b - a) * (m > 1 ? m : m < -1 ? -m : 1) < NARROW;
}

/**
 * P = F(b) - F(a), the probability of a class between the cuts a < b (±Infinity allowed), worked out on the nearer tail
 * so that its relative precision stays near 1e-15. 0 where b ≤ a, NaN where a cut is NaN.
 */
export function cellProbability(a: number, b: number, link: LinkCode): number {
  if (!(a < b)) return a >= b ? 0 : NaN;
  if (a + b < 0) {
    const swap = a;
    a = -b;
    b = -swap;
  }
  if (link === 1) return b === Infinity ? logisticCdf(-a) : logisticCdf(b) * logisticCdf(-a) * -Math.expm1(a - b);
  if (isNarrow(a, b)) {
    const m = 0.5 * (a + b);
    return ((b - a) * expHalfSquare(m) * narrowSeries(m, b - a)) / SQRT_TWO_PI;
  }
  if (a > 0) return normalCdf(-a) - normalCdf(-b);
  return 1 - normalCdf(a) - normalCdf(-b);
}

/**
 * ln(F(b) - F(a)) for a < b (±Infinity allowed); finite wherever the exact value is, however far out the cell lies.
 * -Infinity where b ≤ a, NaN where a cut is NaN.
 * @example logCell(40, 41, 0) // -804.608…, where Φ(41) - Φ(40) is 0 in double precision
 */
export function logCell(a: number, b: number, link: LinkCode): number {
  if (!(a < b)) return a >= b ? -Infinity : NaN;
  if (a + b < 0) {
    const swap = a;
    a = -b;
    b = -swap;
  }
  if (link === 1) {
    return logLogisticCdf(b) + logLogisticCdf(-a) + (b - a === Infinity ? 0 : Math.log(-Math.expm1(a - b)));
  }
  if (isNarrow(a, b)) {
    const m = 0.5 * (a + b);
    return Math.log((b - a) * narrowSeries(m, b - a)) - 0.5 * m * m - LOG_SQRT_TWO_PI;
  }
  if (a > 0) {
    const tail = scaledUpperTail(a);
    const beyond = b === Infinity ? 0 : scaledUpperTail(b) * Math.exp(-0.5 * (b - a) * (b + a));
    return Math.log(tail - beyond) - 0.5 * a * a;
  }
  const outside = normalCdf(a) + normalCdf(-b);
  return outside < 0.5 ? Math.log1p(0 - outside) : Math.log(1 - outside);
}

/**
 * ln P and its derivatives for the cell a < b, P = F(b) - F(a), written to out[at … at+5]:
 * ln P, ∂/∂a, ∂/∂b, ∂²/∂a², ∂²/∂a∂b, ∂²/∂b². Derivatives by an infinite cut are 0. Densities are divided by P with
 * their common exponential taken out, so nothing under- or overflows far in a tail. Where b ≤ a the value is -Infinity and
 * the derivatives NaN. Allocates nothing.
 *
 * With r_a = f(a)/P, r_b = f(b)/P, probit: ∂a = -r_a, ∂b = r_b, ∂aa = r_a(a - r_a), ∂ab = r_a·r_b, ∂bb = -r_b(b + r_b).
 */
export function cellDerivatives(out: Float64Array, at: number, a: number, b: number, link: LinkCode): void {
  if (!(a < b)) {
    out.fill(NaN, at, at + 6);
    if (a >= b) out[at] = -Infinity;
    return;
  }
  if (link === 1) logitDerivatives(out, at, a, b);
  else if (a + b >= 0 || a + b !== a + b) probitDerivatives(out, at, a, b);
  else {
    // The mirrored cell has the same P; first derivatives change place and sign, second ones change place.
    probitDerivatives(out, at, -b, -a);
    const da = out[at + 1];
    const daa = out[at + 3];
    out[at + 1] = 0 - out[at + 2];
    out[at + 2] = 0 - da;
    out[at + 3] = out[at + 5];
    out[at + 5] = daa;
  }
}

/** P = F(b)·(1 - F(a))·(1 - e^{a-b}): a sum of logarithms, none of which cancels. */
function logitDerivatives(out: Float64Array, at: number, a: number, b: number): void {
  const width = b - a;
  // F and 1 - F from the same exponential, exact in both tails.
  const ea = Math.exp(a < 0 ? a : -a);
  const eb = Math.exp(b < 0 ? b : -b);
  const belowA = (a < 0 ? ea : 1) / (1 + ea);
  const aboveB = (b < 0 ? 1 : eb) / (1 + eb);
  const lnAboveA = (a < 0 ? 0 : -a) - Math.log1p(ea);
  const lnBelowB = (b < 0 ? b : 0) - Math.log1p(eb);
  const densityA = ea / ((1 + ea) * (1 + ea));
  const densityB = eb / ((1 + eb) * (1 + eb));
  if (a === -Infinity || b === Infinity) {
    out[at] = a === -Infinity ? (b === Infinity ? 0 : lnBelowB) : lnAboveA;
    out[at + 1] = a === -Infinity ? 0 : -belowA;
    out[at + 2] = b === Infinity ? 0 : aboveB;
    out[at + 3] = a === -Infinity ? 0 : -densityA;
    out[at + 4] = 0;
    out[at + 5] = b === Infinity ? 0 : -densityB;
    return;
  }
  const grow = Math.expm1(width);
  const shrink = -Math.expm1(-width);
  const cross = 1 / grow / shrink;
  out[at] = lnBelowB + lnAboveA + Math.log(shrink);
  out[at + 1] = -belowA - 1 / grow;
  out[at + 2] = aboveB + 1 / grow;
  out[at + 3] = -densityA - cross;
  out[at + 4] = cross;
  out[at + 5] = -densityB - cross;
}

/** The cell whose middle is not negative (or the whole line). */
function probitDerivatives(out: Float64Array, at: number, a: number, b: number): void {
  const h = b - a;
  const m = 0.5 * (a + b);
  let ra: number;
  let rb: number;
  let daa: number;
  if (isNarrow(a, b)) {
    const scale = h * narrowSeries(m, h);
    ra = Math.exp(0.25 * h * (m + a)) / scale;
    rb = Math.exp(-0.25 * h * (m + b)) / scale;
    daa = ra * (a - ra);
    out[at] = Math.log(scale) - 0.5 * m * m - LOG_SQRT_TWO_PI;
  } else if (a > 0) {
    const tail = scaledUpperTail(a);
    const fall = b === Infinity ? 0 : Math.exp(-h * m);
    const inside = b === Infinity ? tail : tail - scaledUpperTail(b) * fall;
    ra = 1 / (SQRT_TWO_PI * inside);
    rb = ra * fall;
    // a - r_a cancels far out: a·√(2π)·inside - 1 is minus the tail's defect and the part beyond b.
    const defect = tailDefect(a) + SQRT_TWO_PI * a * (tail - inside);
    daa = -ra * ra * defect;
    out[at] = Math.log(inside) - 0.5 * a * a;
  } else {
    const ea = expHalfSquare(a);
    const eb = expHalfSquare(b);
    const outside = upperTail(-a, ea) + upperTail(b, eb);
    const inside = (1 - outside) * SQRT_TWO_PI;
    ra = ea / inside;
    rb = eb / inside;
    daa = a === -Infinity ? 0 : ra * (a - ra);
    out[at] = outside < 0.5 ? Math.log1p(0 - outside) : Math.log(1 - outside);
  }
  out[at + 1] = ra > 0 ? -ra : 0;
  out[at + 2] = rb;
  out[at + 3] = daa;
  out[at + 4] = ra * rb;
  out[at + 5] = rb > 0 ? -rb * (b + rb) : 0;
}

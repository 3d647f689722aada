import { describe, expect, it } from 'vitest';
import { cellDerivatives, cellProbability, logCell, type LinkCode } from '../../src/kernel/link.js';
import { expectClose } from '../expectClose.js';
import { ONE, big, bigLogisticCdf, bigNormalCdf, bigNormalPdf, over, small, smallLog, times } from './bigNumbers.js';

const PROBIT: LinkCode = 0;
const LOGIT: LinkCode = 1;

/** Value and five derivatives of ln(F(b) - F(a)) in 3000 bits. */
function exactCell(a: number, b: number, link: LinkCode): { p: number; lnP: number; derivatives: number[] } {
  const cdf = link === PROBIT ? bigNormalCdf : bigLogisticCdf;
  const pdf = (x: number): bigint => {
    if (!Number.isFinite(x)) return 0n;
    return link === PROBIT ? bigNormalPdf(x) : times(bigLogisticCdf(x), ONE - bigLogisticCdf(x));
  };
  /** f'(x)/f(x). */
  const bend = (x: number): bigint => {
    if (!Number.isFinite(x)) return 0n;
    return link === PROBIT ? -big(x) : ONE - 2n * bigLogisticCdf(x);
  };
  const P = cdf(b) - cdf(a);
  const ra = over(pdf(a), P);
  const rb = over(pdf(b), P);
  return {
    p: small(P),
    lnP: smallLog(P),
    derivatives: [-ra, rb, -times(ra, bend(a) + ra), times(ra, rb), times(rb, bend(b) - rb)].map(small),
  };
}

const CUTS = [
  -Infinity,
  -40,
  -39.99,
  -12,
  -6,
  -2,
  -0.4,
  -0.39,
  0,
  0.0003,
  0.35,
  0.41,
  1.1,
  1.8,
  5.5,
  5.7,
  12.001,
  12.002,
  39,
  Infinity,
];
const NAMES = ['ln P', '∂a', '∂b', '∂aa', '∂ab', '∂bb'];

describe.each([PROBIT, LOGIT])('cell of link %i', (link) => {
  const pairs = CUTS.flatMap((a, i) => CUTS.slice(i + 1).map((b) => [a, b] as const));

  it('has probability, log and derivatives as 3000 bits give them, in both tails, wide and narrow', () => {
    const out = new Float64Array(8);
    for (const [a, b] of pairs) {
      const exact = exactCell(a, b, link);
      const at = `cell (${a}, ${b})`;
      // Relative rounding of P where |ln P| is large is that of the exponent.
      expectClose(cellProbability(a, b, link), exact.p, { rel: 3e-14, abs: 1e-307, why: `${at} P` });
      // A probability near 1 has ln P near 0, where the digits are those of 1 - P.
      expectClose(logCell(a, b, link), exact.lnP, { rel: 5e-15, abs: 1e-15, why: `${at} ln P` });
      cellDerivatives(out, 1, a, b, link);
      expectClose(out[1], exact.lnP, { rel: 5e-15, abs: 1e-15, why: `${at} ln P beside derivatives` });
      exact.derivatives.forEach((d, k) => {
        expectClose(out[k + 2], d, { rel: 2e-12, abs: 1e-300, why: `${at} ${NAMES[k + 1]}` });
      });
      expect(out[0], 'the slot before is left alone').toBe(0);
      expect(out[7], 'the slot after is left alone').toBe(0);
    }
  });

  it('is its own mirror image', () => {
    const here = new Float64Array(6);
    const there = new Float64Array(6);
    for (const [a, b] of pairs) {
      cellDerivatives(here, 0, a, b, link);
      cellDerivatives(there, 0, -b, -a, link);
      expectClose(there[0], here[0], { rel: 1e-14, abs: 1e-15, why: `ln P of (${a}, ${b}) reversed` });
      expectClose(there[1], -here[2], { rel: 1e-13, abs: 1e-300, why: '∂a is minus ∂b reversed' });
      expectClose(there[3], here[5], { rel: 1e-12, abs: 1e-300, why: '∂aa is ∂bb reversed' });
    }
  });

  it('gives zero derivatives at infinite cuts and no negative zero to trip on', () => {
    const out = new Float64Array(6);
    cellDerivatives(out, 0, -Infinity, 0.3, link);
    expect([out[1], out[3], out[4]]).toEqual([0, 0, 0]);
    cellDerivatives(out, 0, -0.3, Infinity, link);
    expect([out[2], out[4], out[5]]).toEqual([0, 0, 0]);
    cellDerivatives(out, 0, -Infinity, Infinity, link);
    expect([...out]).toEqual([0, 0, 0, 0, 0, 0]);
  });

  it('sums to 1 over neighbouring cells', () => {
    let sum = 0;
    for (let i = 1; i < CUTS.length; i++) sum += cellProbability(CUTS[i - 1], CUTS[i], link);
    expectClose(sum, 1, { abs: 1e-15, why: 'the cells cover the line' });
  });

  it('says -Infinity for an empty cell and NaN for a NaN cut', () => {
    const out = new Float64Array(6);
    for (const [a, b] of [
      [1, 1],
      [2, 1],
      [Infinity, -Infinity],
    ]) {
      expect(logCell(a, b, link)).toBe(-Infinity);
      expect(cellProbability(a, b, link)).toBe(0);
      cellDerivatives(out, 0, a, b, link);
      expect([...out]).toEqual([-Infinity, NaN, NaN, NaN, NaN, NaN]);
    }
    expect(logCell(NaN, 1, link)).toBeNaN();
    expect(cellProbability(0, NaN, link)).toBeNaN();
    cellDerivatives(out, 0, NaN, 1, link);
    expect(out[0]).toBeNaN();
  });
});

describe('far tails', () => {
  it('keeps value and curvature where everything else has underflowed', () => {
    const out = new Float64Array(6);
    cellDerivatives(out, 0, 1e6, Infinity, PROBIT);
    expectClose(out[0], -0.5e12 - Math.log(1e6) - 0.5 * Math.log(2 * Math.PI), { rel: 1e-15, why: 'asymptotic' });
    expectClose(out[1], -1e6 - 1e-6, { rel: 1e-15, why: 'hazard a + 1/a' });
    expectClose(out[3], -1 + 1e-12, {
      rel: 1e-13,
      why: 'curvature -1 + 1/a²; by plain subtraction no digit would be left',
    });
    cellDerivatives(out, 0, 5000, 5000.5, LOGIT);
    expectClose(out[0], -5000 + Math.log(-Math.expm1(-0.5)), { rel: 1e-15, why: 'e^{-a} - e^{-b}' });
    cellDerivatives(out, 0, -30, -29, PROBIT);
    expect(out[0]).toBe(logCell(-30, -29, PROBIT));
  });
});

import { describe, expect, it } from 'vitest';
import {
  erfc,
  logNormalCdf,
  normalCdf,
  normalPdf,
  normalQuantile,
  scaledUpperTail,
  tailDefect,
} from '../../src/kernel/normal.js';
import { expectClose } from '../expectClose.js';
import { ONE, big, bigExp, bigNormalCdf, bigNormalPdf, over, small, smallLog, times } from './bigNumbers.js';

const DOUBLE = 'full double precision, a few units in the last place';
/** Both sides of every switch between approximations, and the far ends. */
const POINTS = [
  -37.5, -30.0625, -20.1, -12.3, -8.01, -5.7, -5.66, -5.65, -5.01, -4.99, -3.3, -2.01, -1.99, -1, -0.68, -0.67, -0.3,
  -1e-3, -1e-9, 0, 1e-9, 0.1, 0.66, 0.67, 0.68, 1.3, 1.99, 2.01, 3, 5, 5.65, 5.66, 8,
];

describe('normalCdf', () => {
  it('agrees with a series in 3000 bits on both sides of every switch', () => {
    for (const x of POINTS)
      expectClose(normalCdf(x), small(bigNormalCdf(x)), { rel: 1e-15, why: `Φ(${x}): ${DOUBLE}` });
  });

  it('gives tabled values', () => {
    // Abramowitz & Stegun (1964), Table 26.1, 15 decimals; values from memory.
    expectClose(normalCdf(1), 0.841344746068543, { abs: 5e-16 + 1e-15, why: 'table of 15 decimals' });
    expectClose(normalCdf(2), 0.97724986805182, { abs: 5e-15, why: 'table, 14 decimals' });
    expectClose(normalCdf(3), 0.99865010196837, { abs: 1.5e-15, why: 'table of 15 decimals' });
  });

  it('ends at 0 and 1 and passes NaN on', () => {
    expect(normalCdf(-Infinity)).toBe(0);
    expect(normalCdf(Infinity)).toBe(1);
    expect(normalCdf(-50)).toBe(0);
    expect(normalCdf(NaN)).toBeNaN();
    expect(normalCdf(0)).toBe(0.5);
  });

  it('never falls, also across the switches', () => {
    for (const at of [-5.656854249492381, -2, -0.67448975, 0, 0.67448975, 2, 5.656854249492381]) {
      expect(normalCdf(at + 1e-12)).toBeGreaterThanOrEqual(normalCdf(at - 1e-12));
    }
  });
});

describe('normalPdf', () => {
  it('agrees with the exponential series in 3000 bits', () => {
    for (const x of POINTS)
      expectClose(normalPdf(x), small(bigNormalPdf(x)), { rel: 1e-15, why: `φ(${x}): ${DOUBLE}` });
    expect(normalPdf(Infinity)).toBe(0);
    expect(normalPdf(-60)).toBe(0);
    expect(normalPdf(NaN)).toBeNaN();
  });
});

describe('logNormalCdf', () => {
  it('agrees with the logarithm of the series in 3000 bits', () => {
    for (const x of POINTS) {
      const exact = x > 0 ? Math.log1p(-small(ONE - bigNormalCdf(x))) : smallLog(bigNormalCdf(x));
      expectClose(logNormalCdf(x), exact, { rel: 1e-15, why: `ln Φ(${x}): ${DOUBLE}` });
    }
  });

  it('follows the asymptotic series where Φ itself is 0 in double precision', () => {
    for (const x of [50, 300, 1e4, 1e8]) {
      const s = 1 / (x * x);
      const series = Math.log1p(s * (-1 + s * (3 + s * (-15 + s * 105))));
      const exact = -0.5 * x * x - Math.log(x) - 0.5 * Math.log(2 * Math.PI) + series;
      expectClose(logNormalCdf(-x), exact, { rel: 1e-15, why: `ln Φ(-${x}), five terms of the series` });
    }
    expect(logNormalCdf(-Infinity)).toBe(-Infinity);
    expect(logNormalCdf(Infinity)).toBe(0);
    expect(logNormalCdf(NaN)).toBeNaN();
  });
});

describe('scaledUpperTail and tailDefect', () => {
  it('agree with 3000 bits', () => {
    for (const x of POINTS.filter((p) => p >= 0).concat(12, 25, 37)) {
      const upper = ONE - bigNormalCdf(x);
      const scaled = times(upper, bigExp(times(big(x), big(x)) / 2n));
      expectClose(scaledUpperTail(x), small(scaled), { rel: 2e-15, why: `e^{y²/2}Φ(-y) at ${x}: ${DOUBLE}` });
      const defect = small(ONE - over(times(big(x), upper), bigNormalPdf(x)));
      // Below √32 the defect is a difference of numbers near 1: 32 times the rounding of one of them.
      const rel = x > 5.6568543 ? 1e-13 : 2e-14;
      expectClose(tailDefect(x), defect, { rel, why: `1 - y·Φ(-y)/φ(y) at ${x}` });
    }
  });
});

describe('erfc', () => {
  it('is 2Φ(-x√2), also where rounding x√2 would cost digits', () => {
    // erfc(x) = 2Φ(-√2·x); √2·x as a double is not exact, so compare through e^{-x²}: √2·8 and √2·16 squared are 2·64, 2·256.
    // Values from memory (Abramowitz & Stegun Table 7.1 for erf 0.5 and erf 1; the rest as R, numpy and libm give them).
    expectClose(erfc(0.5), 1 - 0.5204998778, { abs: 6e-11, why: 'table of 10 decimals' });
    expectClose(erfc(1), 0.15729920705028513, { rel: 1e-15, why: DOUBLE });
    expectClose(erfc(5), 1.5374597944280348e-12, { rel: 1e-15, why: DOUBLE });
    expectClose(erfc(20), 5.3958656116079005e-176, { rel: 1e-15, why: DOUBLE });
    expectClose(erfc(-1), 1.8427007929497148, { rel: 1e-15, why: DOUBLE });
    expect(erfc(Infinity)).toBe(0);
    expect(erfc(-Infinity)).toBe(2);
    expect(erfc(0)).toBe(1);
    expect(erfc(NaN)).toBeNaN();
  });
});

describe('normalQuantile', () => {
  it("gives the check values of Wichura's paper", () => {
    // AS 241, PPND16; values from memory.
    expectClose(normalQuantile(0.25), -0.6744897501960817, { rel: 1e-15, why: DOUBLE });
    expectClose(normalQuantile(0.001), -3.090232306167814, { rel: 1e-15, why: DOUBLE });
    expectClose(normalQuantile(1e-20), -9.262340089798408, { rel: 1e-15, why: DOUBLE });
  });

  it('has a relative error below 1e-14, measured by the distribution function in 3000 bits', () => {
    const ps = [
      1e-300, 1e-150, 1.3888e-11, 1.389e-11, 1e-6, 0.0749, 0.0751, 0.2, 0.4, 0.49999, 0.500001, 0.7, 0.9249, 0.9251,
      0.999,
    ];
    for (const p of ps) {
      const z = normalQuantile(p);
      // One Newton step from z in exact arithmetic shows how far z is from the root.
      const step = small(over(bigNormalCdf(z) - big(p), bigNormalPdf(z)));
      expectClose(z + step, z, { rel: 1e-14, why: `distance of Φ⁻¹(${p}) from the root` });
      expect(Math.abs(step / z), `Φ⁻¹(${p})`).toBeLessThan(1e-14);
    }
  });

  it('is infinite at the ends and NaN outside', () => {
    expect(normalQuantile(0)).toBe(-Infinity);
    expect(normalQuantile(1)).toBe(Infinity);
    expect(normalQuantile(0.5)).toBe(0);
    for (const p of [-0.1, 1.1, NaN]) expect(normalQuantile(p)).toBeNaN();
  });
});

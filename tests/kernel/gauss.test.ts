import { describe, expect, it } from 'vitest';
import { gaussHermite } from '../../src/kernel/gaussHermite.js';
import { gaussLegendre } from '../../src/kernel/gaussLegendre.js';
import { expectClose } from '../expectClose.js';

const SIZES = [1, 2, 3, 4, 5, 7, 10, 15, 20, 33];

describe('gaussHermite', () => {
  it.each(SIZES)('with %i nodes takes every moment of the normal up to 2n - 1 exactly, and not the next', (n) => {
    const { nodes, weights } = gaussHermite(n);
    let moment = 1;
    for (let d = 0; d <= 2 * n; d += 2) {
      if (d > 0) moment *= d - 1;
      let even = 0;
      let odd = 0;
      for (let i = 0; i < n; i++) {
        even += weights[i] * nodes[i] ** d;
        odd += weights[i] * nodes[i] ** (d + 1);
      }
      if (d < 2 * n) expectClose(even / moment, 1, { abs: 1e-12, why: `moment ${d} is (d - 1)!!` });
      // Short by n!/(2n - 1)!!, known exactly.
      else
        expectClose(moment - even, factorial(n), { rel: 1e-9 + (moment / factorial(n)) * 1e-13, why: 'error term n!' });
      expectClose(odd / moment, 0, { abs: 1e-12 * 3 ** d, why: 'odd moments vanish' });
    }
  });

  it('gives tabled nodes and weights', () => {
    // Abramowitz & Stegun Table 25.10, n = 5, for the weight e^{-x²}; values from memory.
    const { nodes, weights } = gaussHermite(5);
    expectClose(nodes[4] / Math.SQRT2, 2.020182870456086, { rel: 1e-15, why: 'table' });
    expectClose(nodes[3] / Math.SQRT2, 0.9585724646138185, { rel: 1e-15, why: 'table' });
    expect(nodes[2]).toBe(0);
    expectClose(weights[4] * Math.sqrt(Math.PI), 0.01995324205904591, { rel: 1e-14, why: 'table' });
    expectClose(weights[2] * Math.sqrt(Math.PI), 0.9453087204829419, { rel: 1e-14, why: 'table' });
  });

  it('holds up to 100 nodes: ascending, symmetric, a smooth expectation to the last digit', () => {
    const { nodes, weights } = gaussHermite(100);
    let cosine = 0;
    for (let i = 0; i < 100; i++) {
      if (i > 0) expect(nodes[i]).toBeGreaterThan(nodes[i - 1]);
      expect(nodes[i]).toBe(-nodes[99 - i]);
      cosine += weights[i] * Math.cos(nodes[i]);
    }
    expectClose(cosine, Math.exp(-0.5), { rel: 1e-14, why: 'E cos Z = e^{-1/2}' });
  });

  it('refuses other sizes', () => {
    expect(() => gaussHermite(0)).toThrow('gaussHermite: n must be a whole number from 1 to 100, got 0');
    expect(() => gaussHermite(2.5)).toThrow('gaussHermite: n must be a whole number from 1 to 100, got 2.5');
    expect(() => gaussHermite(101)).toThrow('gaussHermite: n must be a whole number from 1 to 100, got 101');
  });
});

describe('gaussLegendre', () => {
  it.each([...SIZES, 200])('with %i nodes integrates every power up to 2n - 1 exactly, and not the next', (n) => {
    const { nodes, weights } = gaussLegendre(n);
    for (let d = 0; d < 2 * n; d++) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += weights[i] * nodes[i] ** d;
      expectClose(sum, d % 2 === 0 ? 2 / (d + 1) : 0, { abs: 5e-15, why: `∫ x^${d} over [-1, 1]` });
    }
    if (n > 10) return;
    let next = 0;
    for (let i = 0; i < n; i++) next += weights[i] * nodes[i] ** (2 * n);
    const missing = (2 ** (2 * n + 1) * factorial(n) ** 4) / ((2 * n + 1) * factorial(2 * n) ** 2);
    expectClose(2 / (2 * n + 1) - next, missing, { rel: 1e-7, why: 'error term 2^{2n+1}(n!)⁴/((2n+1)((2n)!)²)' });
  });

  it('gives tabled nodes and weights', () => {
    // Abramowitz & Stegun Table 25.4, n = 3; exact.
    const { nodes, weights } = gaussLegendre(3);
    expectClose(nodes[2], Math.sqrt(0.6), { rel: 1e-15, why: 'exact' });
    expectClose(weights[0], 5 / 9, { rel: 1e-15, why: 'exact' });
    expectClose(weights[1], 8 / 9, { rel: 1e-15, why: 'exact' });
    expect(nodes[0]).toBe(-nodes[2]);
  });

  it('refuses other sizes', () => {
    expect(() => gaussLegendre(0)).toThrow('gaussLegendre: n must be a whole number from 1 to 1000, got 0');
    expect(() => gaussLegendre(NaN)).toThrow('gaussLegendre: n must be a whole number from 1 to 1000, got NaN');
  });
});

function factorial(n: number): number {
  let product = 1;
  for (let k = 2; k <= n; k++) product *= k;
  return product;
}

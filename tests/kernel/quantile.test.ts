import { describe, expect, it } from 'vitest';
import { quantile, quantileSorted, type QuantileType } from '../../src/kernel/quantile.js';
import { expectClose } from '../expectClose.js';

const TYPES: QuantileType[] = [1, 2, 3, 4, 5, 6, 7, 8, 9];

describe('quantile', () => {
  it('sorts a copy', () => {
    const values = new Float64Array([3, 1, 2]);
    expect(quantile(values, 0.5)).toBe(2);
    expect([...values]).toEqual([3, 1, 2]);
  });

  it.each(TYPES)('type %i: ends, one value, equal values, infinities', (type) => {
    const x = new Float64Array([1, 2, 4, 8]);
    expect(quantile(x, 0, { type })).toBe(1);
    expect(quantile(x, 1, { type })).toBe(8);
    expect(quantile(new Float64Array([5]), 0.3, { type })).toBe(5);
    expect(quantile(new Float64Array([3, 3, 3]), 0.37, { type })).toBe(3);
    expect(quantile(new Float64Array([-Infinity, -Infinity, Infinity, Infinity]), 0.1, { type })).toBe(-Infinity);
    expect(quantile(new Float64Array(0), 0.5, { type })).toBeNaN();
    expect(quantile(new Float64Array([1, NaN, 2]), 0.5, { type })).toBeNaN();
  });

  it.each(TYPES)('type %i never falls with p', (type) => {
    const x = new Float64Array([1, 2, 4, 8, 16]);
    let before = -Infinity;
    for (let p = 0; p <= 1; p += 1 / 256) {
      const q = quantileSorted(x, p, { type });
      expect(q).toBeGreaterThanOrEqual(before);
      before = q;
    }
  });

  it.each([2, 5, 6, 7, 8, 9] as QuantileType[])('type %i turns with the sign of the data', (type) => {
    const x = new Float64Array([1, 2, 4, 8, 16]);
    for (const p of [0.1, 0.2, 0.33, 0.5, 0.9]) {
      expectClose(
        -quantile(
          x.map((v) => -v),
          1 - p,
          { type },
        ),
        quantile(x, p, { type }),
        {
          rel: 1e-12,
          why: 'Q of -x at 1 - p is -Q of x at p',
        },
      );
    }
  });

  it('takes a position as whole in spite of rounding: 0.1·10 + 0.2·10 style products', () => {
    const x = Float64Array.from({ length: 10 }, (_, i) => i + 1);
    // 10 × 0.7 is 7 and 10 × 0.3 is 3, though 1 - 0.7 in binary is a little more than 0.3.
    expect(quantile(x, 1 - 0.7, { type: 1 })).toBe(3);
    expect(quantile(x, 0.1 * 3, { type: 1 })).toBe(3);
    expect(quantile(x, 0.3, { type: 2 })).toBe(3.5);
    expect(quantile(x, 0.25, { type: 3 })).toBe(2);
    expect(quantile(x, 0.35, { type: 3 })).toBe(4);
  });

  it('refuses other probabilities', () => {
    const x = new Float64Array([1]);
    for (const p of [-0.1, 1.1, NaN]) expect(() => quantile(x, p)).toThrow(`quantile: p must be from 0 to 1, got ${p}`);
  });
});

import { describe, expect, it } from 'vitest';
import { normalCdf } from '../../src/kernel/normal.js';
import { tableNormalCdf } from '../../src/kernel/normalTable.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

describe('tableNormalCdf', () => {
  it('stays within its bound of 6e-12 of normalCdf, at and between the nodes', () => {
    const random = createRandom(1);
    let worst = 0;
    for (let i = -9.5 * 128; i <= 9.5 * 128; i++)
      for (const t of [0, 0.25, 0.5, random.uniform()]) {
        const x = (i + t) / 128;
        worst = Math.max(worst, Math.abs(tableNormalCdf(x) - normalCdf(x)));
      }
    expect(worst).toBeLessThan(6e-12);
    // The bound is one: a much smaller error would mean that it is written wrong.
    expect(worst).toBeGreaterThan(1e-12);
  });

  it('agrees with values of Φ from tables', () => {
    // NIST handbook of statistical methods 1.3.6.7.1, five digits.
    for (const [x, p] of [
      [0, 0.5],
      [1, 0.84134],
      [1.96, 0.975],
      [2.5, 0.99379],
      [-1, 0.15866],
    ])
      expectClose(tableNormalCdf(x), p, { abs: 5e-6, why: `Φ(${x})` });
  });

  it('never falls, and never leaves 0 to 1', () => {
    let before = -1;
    for (let i = -10 * 640; i <= 10 * 640; i++) {
      const p = tableNormalCdf(i / 640);
      expect(p >= before - 1e-16 && p >= 0 && p <= 1, `at ${i / 640}`).toBe(true);
      before = p;
    }
  });

  it('is 0 below -9, 1 from 9 on, and NaN for no number', () => {
    expect([-9, -9.001, -40, -Infinity].map(tableNormalCdf)).toEqual([0, 0, 0, 0]);
    expect([9, 40, Infinity].map(tableNormalCdf)).toEqual([1, 1, 1]);
    expect(tableNormalCdf(NaN)).toBeNaN();
  });
});

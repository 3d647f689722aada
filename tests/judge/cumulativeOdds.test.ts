import { describe, expect, it } from 'vitest';
import { cumulativeOdds } from '../../src/judge/cumulativeOdds.js';
import { expectClose } from '../expectClose.js';

describe('cumulativeOdds', () => {
  it('probit: mismatch and blur add as variances, 3-4-5', () => {
    // Φ(1.96) from the standard normal table: 0.9750021048517795.
    expectClose(cumulativeOdds(0.98, { mismatch: 0.3, blur: 0.4, link: 'probit' }), 0.9750021048517795, {
      abs: 1e-14,
      why: 'Φ(0.98/0.5)',
    });
    expect(cumulativeOdds(0, { mismatch: 0.3, blur: 0.4, link: 'probit' })).toBe(0.5);
  });

  it('logit without mismatch is the logistic function', () => {
    expectClose(cumulativeOdds(0.2, { mismatch: 0, blur: 0.1, link: 'logit' }), 1 / (1 + Math.exp(-2)), {
      abs: 1e-15,
      why: 'no integral left',
    });
  });

  it.each([
    [0.05, 0.5],
    [0.3, 0.3],
    [0.5, 0.26],
    [0.5, 0.24],
    [0.5, 0.05],
    [0.5, 0.005],
    [2, 0.1],
  ])('logit with mismatch %f and blur %f agrees with brute force', (mismatch, blur) => {
    for (const gap of [-1.1, -0.2, 0, 0.07, 0.6]) {
      // A million midpoints over ±9 standard deviations.
      const N = 200_000;
      let sum = 0;
      let weight = 0;
      for (let i = 0; i < N; i++) {
        const z = -9 + (18 * (i + 0.5)) / N;
        const w = Math.exp(-0.5 * z * z);
        weight += w;
        sum += w / (1 + Math.exp(-(gap - mismatch * z) / blur));
      }
      expectClose(cumulativeOdds(gap, { mismatch, blur, link: 'logit' }), sum / weight, {
        abs: 1e-7,
        why: `trapezoid against midpoints at gap ${gap}`,
      });
    }
  });

  it('never descends in the distance to the edge', () => {
    for (const link of ['probit', 'logit'] as const) {
      let before = 0;
      for (let gap = -3; gap <= 3; gap += 0.01) {
        const now = cumulativeOdds(gap, { mismatch: 0.4, blur: 0.1, link });
        expect(now).toBeGreaterThanOrEqual(before);
        before = now;
      }
      expect(before).toBeLessThanOrEqual(1);
    }
  });
});

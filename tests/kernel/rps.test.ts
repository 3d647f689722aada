import { describe, expect, it } from 'vitest';
import { rankedProbabilityScore } from '../../src/kernel/rps.js';
import { expectClose } from '../expectClose.js';

describe('rankedProbabilityScore', () => {
  it('is 0 for a sure and right forecast, K - 1 for the opposite end', () => {
    expect(rankedProbabilityScore([0, 1, 0], 1)).toBe(0);
    expect(rankedProbabilityScore([1, 0, 0, 0, 0], 4)).toBe(4);
    expect(rankedProbabilityScore([1], 0)).toBe(0);
  });

  it('is the Brier score for two classes', () => {
    expectClose(rankedProbabilityScore([0.3, 0.7], 1), 0.09, { rel: 1e-15, why: '0.3²' });
  });

  it('punishes distance: the same probability two classes off costs more than one off', () => {
    expect(rankedProbabilityScore([0.5, 0.5, 0], 0)).toBeLessThan(rankedProbabilityScore([0.5, 0, 0.5], 0));
  });

  it('does not change when the classes are counted from the other end', () => {
    const p = new Float64Array([0.1, 0.25, 0.4, 0.25]);
    for (let k = 0; k < 4; k++) {
      expectClose(rankedProbabilityScore(p.slice().reverse(), 3 - k), rankedProbabilityScore(p, k), {
        rel: 1e-13,
        why: 'symmetric',
      });
    }
  });

  it('passes NaN on and refuses a class that is none', () => {
    expect(rankedProbabilityScore([NaN, 0.5, 0.5], 0)).toBeNaN();
    for (const k of [-1, 3, 0.5, NaN]) {
      expect(() => rankedProbabilityScore([0.2, 0.5, 0.3], k)).toThrow(
        `rankedProbabilityScore: classIndex must be a whole number from 0 to 2, got ${k}`,
      );
    }
  });
});

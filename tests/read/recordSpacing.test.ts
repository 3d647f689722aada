import { describe, expect, it } from 'vitest';
import { usualStepMs, widestGapMs } from '../../src/read/recordSpacing.js';

describe('spacing of a record', () => {
  const HOUR = 3_600_000;
  it('takes the median step, unmoved by a gap', () => {
    expect(usualStepMs(Float64Array.of(0, 900, 1800, 2700, 90_000))).toBe(900);
    expect(usualStepMs(Float64Array.of(0, 10, 30))).toBe(15);
    expect(usualStepMs(Float64Array.of(5))).toBe(NaN);
    expect(usualStepMs(new Float64Array())).toBe(NaN);
  });
  it('bridges 3 steps, at least 2 h and at most 6 h; 3 steps of a daily record; what creek.json says', () => {
    expect([0.25, 0.5, 1, 1.5, 3, 6].map((hours) => widestGapMs(hours * HOUR) / HOUR)).toEqual([2, 2, 3, 4.5, 6, 6]);
    expect(widestGapMs(24 * HOUR) / HOUR).toBe(72);
    expect(widestGapMs(NaN) / HOUR).toBe(2);
    expect(widestGapMs(24 * HOUR, 5) / HOUR).toBe(5);
  });
});

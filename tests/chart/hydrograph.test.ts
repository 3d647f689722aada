import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hydrograph } from '../../src/chart/hydrograph.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';

function record(
  values: number[],
  { stepMs = 900_000, gapAfter = -1 }: { stepMs?: number; gapAfter?: number } = {},
): GaugeRecord {
  const timesMs = Float64Array.from(values, (_, i) => i * stepMs + (gapAfter >= 0 && i > gapAfter ? 100 * stepMs : 0));
  return {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs,
    values: Float64Array.from(values),
    stepMs,
    maxGapMs: 3 * stepMs,
    approval: { approved: 0, provisional: 0, unknown: values.length },
    codes: {},
  };
}

describe('hydrograph', () => {
  it('gives a small record as it is', () => {
    expect(hydrograph(record([1, 2, 3]))).toEqual({ timesMs: [0, 900_000, 1_800_000], values: [1, 2, 3] });
    expect(hydrograph(record([]))).toEqual({ timesMs: [], values: [] });
  });

  it('breaks the line at a missing reading and in a gap', () => {
    expect(hydrograph(record([1, NaN, NaN, 3])).values).toEqual([1, null, 3]);
    const gap = hydrograph(record([1, 2, 3], { gapAfter: 0 }));
    expect(gap.values).toEqual([1, null, 2, 3]);
    expect(gap.timesMs[1]).toBe((101 * 900_000) / 2);
  });

  it('keeps the highest and the lowest of 100,000 readings in 4000 points', () => {
    const values = Array.from({ length: 100_000 }, (_, i) => 10 + Math.sin(i / 700));
    values[54_321] = 99;
    values[77_777] = 0.5;
    values[12_345] = NaN;
    const thin = hydrograph(record(values));
    expect(thin.values.length).toBeLessThanOrEqual(4000);
    expect(thin.values.length).toBeGreaterThan(2000);
    expect(Math.max(...thin.values.map((v) => v ?? -Infinity))).toBe(99);
    expect(Math.min(...thin.values.map((v) => v ?? Infinity))).toBe(0.5);
    expect(thin.values.filter((v) => v === null)).toHaveLength(1);
  });

  it('is ascending in time, never too long, and holds only readings of the record (property)', () => {
    const reading = fc.oneof(
      { weight: 9, arbitrary: fc.integer({ min: 1, max: 50 }) },
      { weight: 1, arbitrary: fc.constant(NaN) },
    );
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 300 }), fc.integer({ min: 4, max: 60 }), (values, maxPoints) => {
        const source = record(values);
        const thin = hydrograph(source, { maxPoints });
        expect(thin.timesMs.length).toBeLessThanOrEqual(maxPoints);
        expect(thin.values).toHaveLength(thin.timesMs.length);
        thin.timesMs.forEach((t, i) => {
          if (i > 0) expect(t).toBeGreaterThan(thin.timesMs[i - 1]);
          if (thin.values[i] !== null) expect(source.values[t / source.stepMs]).toBe(thin.values[i]);
        });
        const real = values.filter((v) => v === v);
        if (real.length > 0) expect(Math.max(...thin.values.map((v) => v ?? 0))).toBe(Math.max(...real));
      }),
    );
  });

  it('refuses too few points', () => {
    expect(() => hydrograph(record([1]), { maxPoints: 3 })).toThrow('hydrograph: maxPoints must be at least 4, got 3');
  });
});

import { describe, expect, it } from 'vitest';
import { floodHours } from '../../src/judge/floodHours.js';
import { lagSignOf } from '../../src/judge/lagSign.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { expectClose } from '../expectClose.js';
import { HOUR, syntheticAligned, syntheticFit } from './syntheticRelation.js';

/** Hourly ln readings: floods of 1 ln unit, two hours up and ten down in equal steps, every 50 hours. */
function floods(count: number): GaugeRecord {
  const ln = Array.from({ length: 50 * count + 30 }, (_, h) => {
    const t = (h - 20) % 50;
    return h < 20 ? 0 : t <= 2 ? t / 2 : Math.max(0, 1 - (t - 2) / 10);
  });
  return {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(ln, (_, h) => h * HOUR),
    values: Float64Array.from(ln, Math.exp),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: ln.length },
    codes: {},
  };
}

describe('floodHours', () => {
  it('by hand: from the trough until half way down', () => {
    // The trough is confirmed at the last dry hour, 50 k + 20; the peak two hours later, half of it five hours after that.
    expectClose(floodHours(floods(6)), 7, { abs: 1e-9, why: '2 up and 5 down' });
  });

  it('can’t be said of a record without floods', () => {
    const { timesMs, ...rest } = floods(6);
    expect(floodHours({ ...rest, timesMs, values: timesMs.map(() => 3) })).toBeNaN();
  });
});

describe('lagSignOf', () => {
  const lags = [-8, -2, 0, 2, 8];
  const aligned = syntheticAligned([{ x: 1, saw: 1 }], { lags });
  const fitWith = (hours: readonly number[]) =>
    syntheticFit(
      aligned,
      hours.map((lagHours) => ({ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1, lagHours })),
      { mode: 'any-lag' },
    );

  it('counts the interval in floods where it holds both signs', () => {
    const open = lagSignOf(fitWith([-8, -8, -8, 0, 8, 8, 8]), { record: floods(6) })!;
    expect(open.lag80).toEqual([-8, 8]);
    expectClose(open.openFloods, 16 / 7, { rel: 1e-9, why: '16 h over 7 h' });
    const settled = lagSignOf(fitWith([0, 2, 2, 2, 8]), { record: floods(6) })!;
    expect(settled.openFloods).toBe(0);
    expect(lagSignOf(fitWith([]), { record: floods(6) })).toBeNull();
  });
});

import type { Random } from '../../src/kernel/random.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';

export const HOUR = 3_600_000;
export const START = Date.UTC(2020, 0, 1);
/** Length of a record: a little over a year. */
export const HOURS = 9_000;

/** An hourly record of discharge: rain pulses every few days into a fast store, which falls by half in ten hours, and a slow one. */
export function rainRecord(random: Random): GaugeRecord {
  const values = new Float64Array(HOURS);
  let fast = 0;
  let slow = 3;
  let wet = 0;
  for (let t = 0; t < HOURS; t++) {
    if (random.uniform() < 1 / 90) wet = 3 + random.integer(14);
    const rain = wet > 0 ? -Math.log(random.uniform()) * 0.9 : 0;
    wet = Math.max(0, wet - 1);
    fast += rain - fast / 14;
    slow += 0.15 * rain - slow / 260;
    values[t] = 0.4 + 0.6 * slow + 2.2 * fast;
  }
  return {
    kind: 'gauge-record',
    gauge: 'g',
    name: 'g',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(values, (_, t) => START + t * HOUR),
    values,
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: HOURS, provisional: 0, unknown: 0 },
    codes: {},
  };
}

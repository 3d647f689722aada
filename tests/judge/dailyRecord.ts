import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { DAY } from './syntheticRelation.js';

/** Daily readings. */
export function dailyRecord(values: readonly number[], startMs = Date.UTC(2020, 0, 1)): GaugeRecord {
  return {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(values, (_, d) => startMs + d * DAY),
    values: Float64Array.from(values),
    stepMs: DAY,
    maxGapMs: 3 * DAY,
    approval: { approved: 0, provisional: 0, unknown: values.length },
    codes: {},
  };
}

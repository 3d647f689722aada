import type { GaugeRecord } from '../../src/series/gaugeRecord.js';

export const HOUR = 3_600_000;
export const DAY = 24 * HOUR;
/** A Monday in winter, UTC. */
export const FROM = Date.UTC(2031, 0, 6);

/** A record of readings at hours after FROM (default every hour), nothing refused. */
export function makeRecord(
  values: readonly number[] | Float64Array,
  { hours, ...over }: { hours?: readonly number[] } & Partial<GaugeRecord> = {},
): GaugeRecord {
  const timesMs = Float64Array.from(values, (_, i) => FROM + (hours?.[i] ?? i) * HOUR);
  const steps = Array.from(timesMs.subarray(1), (t, i) => t - timesMs[i]).sort((a, b) => a - b);
  return Object.freeze({
    kind: 'gauge-record' as const,
    gauge: 'weir',
    name: 'the weir',
    parameter: 'discharge' as const,
    unit: 'm3/s' as const,
    timesMs,
    values: Float64Array.from(values),
    stepMs: steps.length > 0 ? steps[steps.length >> 1] : NaN,
    maxGapMs: 3 * HOUR,
    approval: { approved: values.length, provisional: 0, unknown: 0 },
    codes: {},
    ...over,
  });
}

/** A smooth, never quite repeating flow between about 2 and 60 m³/s. */
export function smoothFlow(hour: number): number {
  return Math.exp(2.2 + Math.sin(hour / 17) + 0.6 * Math.sin(hour / 41 + 1) + 0.2 * Math.sin(hour / 7));
}

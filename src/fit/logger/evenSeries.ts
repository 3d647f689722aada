import { lnAt, type Cursor } from '../../align/interpolate.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';

/** Values of a record at evenly spaced times. */
export interface EvenSeries {
  /** UTC ms of the first. */
  readonly fromMs: number;
  readonly stepMs: number;
  /** NaN where the record has nothing. */
  readonly values: Float64Array;
}

/**
 * A record's readings at whole multiples of a step, linear between readings, never across a gap.
 * @returns from the first such time within the record to the last; empty for an empty record.
 */
export function evenSeries({ timesMs, values, maxGapMs }: GaugeRecord, { stepMs }: { stepMs: number }): EvenSeries {
  const n = timesMs.length;
  const first = n === 0 ? 0 : Math.ceil(timesMs[0] / stepMs);
  const last = n === 0 ? -1 : Math.floor(timesMs[n - 1] / stepMs);
  const cursor: Cursor = { index: 0 };
  return {
    fromMs: first * stepMs,
    stepMs,
    values: Float64Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
      lnAt(timesMs, values, (first + i) * stepMs, { maxGapMs, cursor }),
    ),
  };
}

/** Mean over `width` neighbours each side; NaN where one of them is missing. */
export function smoothed(values: Float64Array, width: number): Float64Array {
  return values.map((_, i) => {
    let sum = 0;
    for (let j = i - width; j <= i + width; j++) sum += values[j] ?? NaN;
    return sum / (2 * width + 1);
  });
}

/** Change from each value to the next (one shorter). */
export function differenced(values: Float64Array): Float64Array {
  return Float64Array.from({ length: Math.max(0, values.length - 1) }, (_, i) => values[i + 1] - values[i]);
}

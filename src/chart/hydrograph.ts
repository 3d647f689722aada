import type { GaugeRecord } from '../series/gaugeRecord.js';
import type { Hydrograph } from './types.js';

/**
 * A gauge record thinned for drawing: every bucket of readings keeps its lowest and its highest, in time order, so no peak is
 * lost. A gap wider than the record's `maxGapMs`, or a missing reading, is a null in its place; several gaps in one bucket
 * become one.
 *
 * @param record the record (n rows).
 * @param options.maxPoints most points returned, nulls included; default 4000, at least 4.
 * @returns times (UTC ms, ascending) and values (gauge unit, null breaks the line); the whole record where it is small enough,
 *   empty for an empty record.
 * @throws RangeError when maxPoints is below 4.
 */
export function hydrograph(record: GaugeRecord, { maxPoints = 4000 }: { maxPoints?: number } = {}): Hydrograph {
  if (!(maxPoints >= 4)) throw new RangeError(`hydrograph: maxPoints must be at least 4, got ${maxPoints}`);
  let perBucket = 1;
  let thinned = thin(record, perBucket);
  while (thinned.timesMs.length > maxPoints) {
    // Each bucket gives two readings and at most one null; the ratio tells how much wider it must be.
    perBucket = Math.max(perBucket + 1, Math.ceil((perBucket * thinned.timesMs.length) / maxPoints));
    thinned = thin(record, perBucket);
  }
  return Object.freeze(thinned);
}

function thin(record: GaugeRecord, perBucket: number): Hydrograph {
  const { timesMs, values, maxGapMs } = record;
  const n = values.length;
  const outTimes: number[] = [];
  const outValues: (number | null)[] = [];
  let previousMs = NaN;
  for (let from = 0; from < n; from += perBucket) {
    const to = Math.min(n, from + perBucket);
    let low = -1;
    let high = -1;
    let gapAt = -1;
    let gapMs = NaN;
    for (let i = from; i < to; i++) {
      const missing = !(values[i] === values[i]);
      const breaks = missing || (previousMs === previousMs && timesMs[i] - previousMs > maxGapMs);
      if (breaks && gapAt < 0) {
        gapAt = i;
        gapMs = missing ? timesMs[i] : (previousMs + timesMs[i]) / 2;
      }
      previousMs = timesMs[i];
      if (missing) continue;
      if (low < 0 || values[i] < values[low]) low = i;
      if (high < 0 || values[i] > values[high]) high = i;
    }
    const first = Math.min(low, high);
    const last = Math.max(low, high);
    const points = low < 0 ? [] : first === last ? [first] : [first, last];
    let gapWaits = gapAt >= 0;
    for (const i of points) {
      if (gapWaits && gapAt <= i) {
        outTimes.push(gapMs);
        outValues.push(null);
        gapWaits = false;
      }
      outTimes.push(timesMs[i]);
      outValues.push(values[i]);
    }
    // A run of missing buckets needs one null, not one each.
    if (gapWaits && outValues[outValues.length - 1] !== null) {
      outTimes.push(gapMs);
      outValues.push(null);
    }
  }
  return { timesMs: outTimes, values: outValues };
}

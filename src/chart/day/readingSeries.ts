import { effectiveSeries } from '../../align/effectiveSeries.js';
import { lnAt } from '../../align/interpolate.js';
import { knownTimes } from '../../align/knownTimes.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';

/** A chart's own reading all along a record. */
export interface ReadingSeries {
  /** UTC ms at which each reading is known (n), ascending. */
  readonly timesMs: Float64Array;
  /** ln of the reading above zero flow (n); NaN where there is none. */
  readonly x: Float64Array;
  /** Value at zero flow, gauge unit. */
  readonly offset: number;
  /** x at a time, as the fit takes it; NaN in a gap and outside the record. */
  readonly at: (timeMs: number) => number;
}

/** What a chart asks to read, at every reading of a record. */
export function readingSeries(record: GaugeRecord, storageHours: number): ReadingSeries {
  const { timesMs, interpolation } = knownTimes(record);
  const x = effectiveSeries(record, storageHours).map(Math.log);
  const options = { maxGapMs: record.maxGapMs, cursor: { index: 0 }, interpolation };
  return { timesMs, x, offset: record.zeroFlowStage ?? 0, at: (timeMs) => lnAt(timesMs, x, timeMs, options) };
}

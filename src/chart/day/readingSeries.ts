import { effectiveSeries } from '../../align/effectiveSeries.js';
import { lnAt } from '../../align/interpolate.js';
import { knownTimes } from '../../align/knownTimes.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { limbAsked } from '../howToRead.js';
import type { LevelChart } from '../types.js';

const HOUR = 3_600_000;

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

/**
 * What a chart asks to read, at every reading of a record: the number that the page's calculator works out from what is typed.
 * @param options.limbHours power of the ratio to the reading one hour earlier, as in `Calculator`; default 0.
 */
export function readingSeries(
  record: GaugeRecord,
  { storageHours, limbHours = 0 }: { storageHours: number; limbHours?: number },
): ReadingSeries {
  const { timesMs, interpolation } = knownTimes(record);
  const offset = record.zeroFlowStage ?? 0;
  const lookUp = (x: Float64Array) => {
    const options = { maxGapMs: record.maxGapMs, cursor: { index: 0 }, interpolation };
    return (timeMs: number) => lnAt(timesMs, x, timeMs, options);
  };
  const still = effectiveSeries(record, storageHours).map(Math.log);
  if (limbHours === 0) return { timesMs, x: still, offset, at: lookUp(still) };
  const plain = effectiveSeries(record, 0).map(Math.log);
  const plainAt = lookUp(plain);
  const x = still.map((one, i) => one + limbHours * (plain[i] - plainAt(timesMs[i] - HOUR)));
  return { timesMs, x, offset, at: lookUp(x) };
}

/** The same by the instruction of a chart. */
export function seriesOf(level: LevelChart, record: GaugeRecord): ReadingSeries {
  return readingSeries(record, { storageHours: level.reading.storageHours, limbHours: limbAsked(level) });
}

import type { GaugeRecord } from '../series/gaugeRecord.js';
import { lnSpread } from './lnSpread.js';

const HOUR = 3_600_000;

/**
 * A rise counts as a new flood when ln of the reading climbs this many standard deviations of the record's ln readings above the trough
 * before it.
 */
export const FLOOD_RISE_SD = 0.6;

/** On long flat water a new flood number starts after this many days anyway: by then the creek has a new weather. */
export const FLOOD_MAX_DAYS = 14;

/**
 * Start times of the floods of a record, by its own turning points: walk along ln(reading - offset); a trough is confirmed once the
 * water has risen by `riseSd` standard deviations of the record above it, a peak once it has fallen as much below; each
 * confirmed trough starts a flood. Readings that are missing or not positive are passed over.
 *
 * @returns UTC ms, ascending; the first is the record's first usable reading. Empty where there is none.
 */
export function floodStarts(record: GaugeRecord, { riseSd = FLOOD_RISE_SD }: { riseSd?: number } = {}): Float64Array {
  const { timesMs, values } = record;
  const offset = record.zeroFlowStage ?? 0;
  const rise = riseSd * lnSpread(record);
  if (!(rise === rise)) return new Float64Array(0);
  const starts: number[] = [];
  let rising = false;
  let extreme = Infinity;
  let extremeMs = NaN;
  for (let i = 0; i < values.length; i++) {
    const y = Math.log(values[i] - offset);
    if (!Number.isFinite(y)) continue;
    if (starts.length === 0) starts.push(timesMs[i]);
    if (rising) {
      if (y > extreme) extreme = y;
      else if (y < extreme - rise) {
        rising = false;
        extreme = y;
        extremeMs = timesMs[i];
      }
    } else if (y <= extreme) {
      extreme = y;
      extremeMs = timesMs[i];
    } else if (rise > 0 && y > extreme + rise) {
      if (extremeMs > starts[starts.length - 1]) starts.push(extremeMs);
      rising = true;
      extreme = y;
    }
  }
  return Float64Array.from(starts);
}

/**
 * Flood number of each visit: visits share one when no flood starts between them and they lie within `FLOOD_MAX_DAYS` of the
 * first visit of the group. Visits outside the record are grouped by those days alone.
 *
 * @param visitTimesMs ascending, UTC ms (n).
 * @returns 0-based numbers, ascending, without holes (n).
 */
export function floodOfVisits(record: GaugeRecord, visitTimesMs: Float64Array): Int32Array {
  const starts = floodStarts(record);
  const out = new Int32Array(visitTimesMs.length);
  let s = -1;
  let flood = -1;
  let groupStart = -1;
  let groupMs = NaN;
  for (let i = 0; i < visitTimesMs.length; i++) {
    const t = visitTimesMs[i];
    while (s + 1 < starts.length && starts[s + 1] <= t) s++;
    if (flood < 0 || s !== groupStart || t - groupMs > FLOOD_MAX_DAYS * 24 * HOUR) {
      flood++;
      groupStart = s;
      groupMs = t;
    }
    out[i] = flood;
  }
  return out;
}

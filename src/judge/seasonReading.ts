import { quantileSorted } from '../kernel/quantile.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { firstFrom } from './firstFrom.js';

const DAY = 86_400_000;
const YEAR_MS = 365.2425 * DAY;

/** Width of the running median, days: longer than a flood, shorter than a season. */
export const SEASON_WINDOW_DAYS = 15;

/** A median of a fortnight needs no reading more often than this, hours. */
const THIN_HOURS = 3;

/**
 * What the gauge usually reads at a time of the year: the median of ln(reading - offset) within ±7.5 days of the same day of the year,
 * over all years of the record (the 15-day running median). It knows the season and none of the weather; in a record of one year it keeps
 * what lasted longer than a fortnight.
 *
 * @param timesMs any order, UTC ms (n).
 * @returns ln units (n); NaN where the record has no reading near that day in any year.
 */
export function usualReadings(record: GaugeRecord, timesMs: Float64Array): Float64Array {
  const { timesMs: t, values } = record;
  const offset = record.zeroFlowStage ?? 0;
  const count = t.length;
  if (count === 0) return new Float64Array(timesMs.length).fill(NaN);
  const half = (SEASON_WINDOW_DAYS / 2) * DAY;
  return timesMs.map((timeMs) => {
    const near: number[] = [];
    const first = Math.ceil((t[0] - half - timeMs) / YEAR_MS);
    const last = Math.floor((t[count - 1] + half - timeMs) / YEAR_MS);
    for (let year = first; year <= last; year++) {
      const middle = timeMs + year * YEAR_MS;
      let taken = -Infinity;
      for (let i = firstFrom(t, middle - half); i < count && t[i] <= middle + half; i++) {
        if (t[i] - taken < THIN_HOURS * 3_600_000) continue;
        const y = Math.log(values[i] - offset);
        if (!Number.isFinite(y)) continue;
        near.push(y);
        taken = t[i];
      }
    }
    return quantileSorted(Float64Array.from(near).sort(), 0.5);
  });
}

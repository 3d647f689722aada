import { lnAt } from '../../align/interpolate.js';
import { knownTimes } from '../../align/knownTimes.js';
import { effectiveSeries } from '../../align/effectiveSeries.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { usualReadings } from '../seasonReading.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const DAYS_OF_YEAR = 366;

/** A record laid on whole hours once, so that any number of logs can look things up in it. */
export interface HourlyReadings {
  /** ln(reading - zero) at an hour; NaN in gaps and outside. */
  readonly at: (timeMs: number) => number;
  /** What the gauge usually reads on that day of the year, ln. */
  readonly usualAt: (timeMs: number) => number;
}

/** The hour before a moment, and the usual reading of its day: `usualReadings` for each day of a leap year. */
export function hourlyReadings(record: GaugeRecord): HourlyReadings {
  const { timesMs, interpolation } = knownTimes(record);
  const first = Math.ceil((timesMs[0] ?? 0) / HOUR);
  const hours = timesMs.length === 0 ? 0 : Math.floor(timesMs[timesMs.length - 1]! / HOUR) - first + 1;
  const ln = effectiveSeries(record, 0).map(Math.log);
  const how = { maxGapMs: record.maxGapMs, cursor: { index: 0 }, interpolation };
  const x = Float64Array.from({ length: hours }, (_, h) => lnAt(timesMs, ln, (first + h) * HOUR, how));
  const leapYear = Date.UTC(2024, 0, 1);
  const days = Float64Array.from({ length: DAYS_OF_YEAR }, (_, day) => leapYear + (day + 0.5) * DAY);
  const usual = usualReadings(record, days);
  return {
    at: (timeMs) => x[Math.floor(timeMs / HOUR) - first] ?? NaN,
    usualAt: (timeMs) => {
      const year = new Date(timeMs).getUTCFullYear();
      // The day of the year, one later after February in years without a 29th.
      const day = Math.floor((timeMs - Date.UTC(year, 0, 1)) / DAY);
      const leap = new Date(Date.UTC(year, 1, 29)).getUTCMonth() === 1;
      return usual[leap || day < 59 ? day : day + 1]!;
    },
  };
}

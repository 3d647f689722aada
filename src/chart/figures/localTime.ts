import { Temporal } from 'temporal-polyfill';

const HOUR_MS = 3_600_000;

/** Milliseconds by which the wall clock of an IANA zone is ahead of UTC at a moment. */
function offsetMs(timeMs: number, timeZone: string): number {
  return (
    Temporal.Instant.fromEpochMilliseconds(Math.round(timeMs)).toZonedDateTimeISO(timeZone).offsetNanoseconds / 1e6
  );
}

/** `2031-04-02 14:30`, wall clock of the zone. */
export function localStamp(timeMs: number, timeZone: string): string {
  return Temporal.Instant.fromEpochMilliseconds(Math.round(timeMs))
    .toZonedDateTimeISO(timeZone)
    .toPlainDateTime()
    .toString({ smallestUnit: 'minute' })
    .replace('T', ' ');
}

/**
 * Moments (UTC ms, ascending) as wall-clock milliseconds, which is what a plotly date axis shows. The zone is asked twice a
 * day, not for every reading: within 12 hours of a change of the clock the offset of the nearest earlier asking holds.
 */
export function wallClock(timesMs: readonly number[], timeZone: string): number[] {
  let askedMs = NaN;
  let offset = 0;
  return timesMs.map((timeMs) => {
    if (!(Math.abs(timeMs - askedMs) < 12 * HOUR_MS)) {
      offset = offsetMs(timeMs, timeZone);
      askedMs = timeMs;
    }
    return timeMs + offset;
  });
}

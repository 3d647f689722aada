import { Temporal } from 'temporal-polyfill';

const DAY_MS = 86_400_000;

/** Milliseconds by which the wall clock of an IANA zone is ahead of UTC at a moment. */
function offsetMs(timeMs: number, timeZone: string): number {
  const moment = Temporal.Instant.fromEpochMilliseconds(Math.round(timeMs));
  return moment.toZonedDateTimeISO(timeZone).offsetNanoseconds / 1e6;
}

/**
 * Moments (UTC ms) as wall-clock milliseconds, which is what a plotly date axis shows. The zone is asked once a stretch without
 * a change of the clock, not once a reading.
 */
export function wallClock(timesMs: readonly number[], timeZone: string): number[] {
  let stretch = { fromMs: NaN, toMs: NaN, offset: 0 };
  return timesMs.map((timeMs) => {
    if (!(timeMs >= stretch.fromMs && timeMs < stretch.toMs)) stretch = stretchFrom(timeMs, timeZone);
    return timeMs + stretch.offset;
  });
}

/** From a moment to the next change of the clock, or ten days on: no zone changes its clock and back within ten days. */
function stretchFrom(fromMs: number, timeZone: string): { fromMs: number; toMs: number; offset: number } {
  const offset = offsetMs(fromMs, timeZone);
  let same = fromMs;
  let toMs = fromMs + 10 * DAY_MS;
  if (offsetMs(toMs, timeZone) === offset) return { fromMs, toMs, offset };
  while (toMs - same > 1) {
    const middle = Math.floor((same + toMs) / 2);
    if (offsetMs(middle, timeZone) === offset) same = middle;
    else toMs = middle;
  }
  return { fromMs, toMs, offset };
}

import { Temporal } from 'temporal-polyfill';
import { scanIso, type IsoTime } from './isoTime.js';

/** An IANA zone (or a fixed offset) with its changes of offset looked up once, so that a million local times cost a comparison each. */
export interface ZoneClock {
  readonly zone: string;
  /**
   * The instants that show this clock reading, earlier first, written to `out` (UTC ms).
   * 0: the reading was skipped (spring); 1: the usual case; 2: it came twice (autumn).
   */
  readonly instants: (localMs: number, out: Float64Array) => 0 | 1 | 2;
  /** Offset from UTC at an instant, ms: local = UTC + offset. */
  readonly offsetAt: (timeMs: number) => number;
}

/**
 * A time as written, resolved. `ambiguous`: the middle of the two instants, and the least give-or-take (minutes) that covers both honestly.
 */
export type TimeReading =
  | { readonly kind: 'exact'; readonly timeMs: number }
  | {
      readonly kind: 'ambiguous';
      readonly timeMs: number;
      readonly giveOrTakeMin: number;
      readonly earlierMs: number;
      readonly laterMs: number;
    }
  | { readonly kind: 'nonexistent' }
  | { readonly kind: 'date-only'; readonly localMs: number }
  | { readonly kind: 'unreadable' };

const YEAR_MS = 365.25 * 86_400_000;
/** No zone is further than this from UTC, so a local time and its instants are never further apart. */
const WIDEST_OFFSET_MS = 16 * 3_600_000;
/** Twice that: two offsets never differ by more (islands that crossed the date line changed by a whole day). */
const WIDEST_CHANGE_MS = 2 * WIDEST_OFFSET_MS;

/** True for a zone this machine's IANA database knows, such as `Europe/London`, `UTC`, `Etc/GMT+5`; also fixed offsets such as `+05:45`. */
export function isTimeZone(zone: string): boolean {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(zone);
    return true;
  } catch {
    return false;
  }
}

/**
 * The clock of a zone. Between two changes of the offset local = UTC + offset, so each such stretch covers one interval of local time; a
 * reading in no interval was skipped, one in two came twice. The stretches are looked up in pieces of years, as they are needed.
 *
 * Source of the offsets: the IANA time zone database of the running Node, through Temporal.
 * @throws RangeError when the zone is unknown
 * @example
 * const out = new Float64Array(2);
 * zoneClock('Europe/London').instants(Date.UTC(2024, 9, 27, 1, 30), out); // 2: 00:30Z and 01:30Z
 */
export function zoneClock(zone: string): ZoneClock {
  const known = CLOCKS.get(zone);
  if (known !== undefined) return known;
  const clock = makeClock(zone);
  CLOCKS.set(zone, clock);
  return clock;
}

/** Clocks by zone. Looking a zone's changes up takes milliseconds and its answers never differ, so each is made once. */
const CLOCKS = new Map<string, ZoneClock>();

function makeClock(zone: string): ZoneClock {
  if (!isTimeZone(zone))
    throw new RangeError(`zoneClock: '${zone}' is not a zone of the IANA database, for example Europe/London`);

  // Stretch i runs over UTC [starts[i], starts[i+1]); the last one to `knownTo`.
  let starts: number[] = [];
  let offsets: number[] = [];
  let knownFrom = NaN;
  let knownTo = NaN;
  // The stretch of the last answer: rows come in order, so it nearly always serves again.
  let last = 0;

  const offsetOf = (ms: number) =>
    Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO(zone).offsetNanoseconds / 1e6;

  const lookUp = (fromMs: number, toMs: number) => {
    starts = [fromMs];
    offsets = [offsetOf(fromMs)];
    let next = Temporal.Instant.fromEpochMilliseconds(fromMs).toZonedDateTimeISO(zone).getTimeZoneTransition('next');
    while (next !== null && next.epochMilliseconds < toMs) {
      starts.push(next.epochMilliseconds);
      offsets.push(next.offsetNanoseconds / 1e6);
      next = next.getTimeZoneTransition('next');
    }
    knownFrom = fromMs;
    knownTo = toMs;
    last = 0;
  };

  const cover = (ms: number) => {
    if (ms - 2 * WIDEST_CHANGE_MS >= knownFrom && ms + 2 * WIDEST_CHANGE_MS < knownTo) return;
    const from = Math.floor(ms - YEAR_MS);
    const to = Math.ceil(ms + 8 * YEAR_MS);
    lookUp(knownFrom < from ? knownFrom : from, knownTo > to ? knownTo : to);
  };

  const endOf = (i: number) => (i + 1 < starts.length ? starts[i + 1]! : knownTo);

  /** Index of the stretch that holds a UTC instant (known to be covered). */
  const stretchAt = (ms: number) => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (starts[middle]! <= ms) low = middle;
      else high = middle - 1;
    }
    return low;
  };

  const instants = (localMs: number, out: Float64Array): 0 | 1 | 2 => {
    cover(localMs);
    const guess = localMs - offsets[last]!;
    // Far enough inside the stretch, no neighbour's local interval can reach the reading.
    if (guess - WIDEST_CHANGE_MS >= starts[last]! && guess + WIDEST_CHANGE_MS < endOf(last)) {
      out[0] = guess;
      return 1;
    }
    let found = 0;
    for (let i = stretchAt(localMs - WIDEST_OFFSET_MS); i < starts.length; i++) {
      if (starts[i]! > localMs + WIDEST_OFFSET_MS) break;
      const instant = localMs - offsets[i]!;
      if (instant >= starts[i]! && instant < endOf(i)) {
        // A third instant would need two changes back within hours; none is on record, so the pair holds.
        if (found < 2) out[found++] = instant;
        last = i;
      }
    }
    return found as 0 | 1 | 2;
  };

  const offsetAt = (timeMs: number) => {
    cover(timeMs);
    return offsets[stretchAt(timeMs)]!;
  };

  return Object.freeze({ zone, instants, offsetAt });
}

/**
 * A time as people write it, ISO 8601 with or without an offset, as UTC ms; without one it is local time in the clock's zone.
 *
 * A reading of the doubled autumn hour becomes the middle of its two instants with a give-or-take of at least 60 minutes.
 * @example readTime('2024-07-01T14:30', zoneClock('Europe/London')) // exact, 13:30Z
 */
export function readTime(text: string, clock: ZoneClock): TimeReading {
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  const trimmed = text.trim();
  if (!scanIso(trimmed, 0, trimmed.length, iso)) return { kind: 'unreadable' };
  if (iso.dateOnly) return { kind: 'date-only', localMs: iso.localMs };
  if (iso.offsetMs === iso.offsetMs) return { kind: 'exact', timeMs: iso.localMs - iso.offsetMs };
  const pair = new Float64Array(2);
  switch (clock.instants(iso.localMs, pair)) {
    case 0:
      return { kind: 'nonexistent' };
    case 1:
      return { kind: 'exact', timeMs: pair[0]! };
    case 2: {
      const [earlierMs, laterMs] = [pair[0]!, pair[1]!];
      const giveOrTakeMin = Math.max(60, (laterMs - earlierMs) / 2 / 60_000);
      return { kind: 'ambiguous', timeMs: (earlierMs + laterMs) / 2, giveOrTakeMin, earlierMs, laterMs };
    }
  }
}

/** The calendar date that a zone's clock shows at an instant, `yyyy-MM-dd`. */
export function localDate(timeMs: number, clock: ZoneClock): string {
  return new Date(timeMs + clock.offsetAt(timeMs)).toISOString().slice(0, 10);
}

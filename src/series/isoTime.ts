/** What an ISO 8601 text says, before any zone is asked. Filled in place: one object serves a million rows. */
export interface IsoTime {
  /** The clock reading as if it were UTC, ms. */
  localMs: number;
  /** Offset from UTC in ms; NaN where the text gives none. */
  offsetMs: number;
  /** True for a calendar date without a clock reading. */
  dateOnly: boolean;
}

const DAY_MS = 86_400_000;
const DAYS_BEFORE_MONTH = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];
const DAYS_IN_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/**
 * UTC ms of midnight of a calendar date (Gregorian, years 1800 to 2199); NaN for a date that does not exist. No gauge and no logbook is
 * outside those years, so a year of 0204 or 9024 is a slip of the pen and must not pass as a time.
 *
 * Days since 1970 = 365·(y−1970) + the leap days passed + the days of the year; a year divisible by 4 leaps, by 100 not, by 400 again.
 * @example dateMs(2024, 2, 29) // 1709164800000
 */
export function dateMs(year: number, month: number, day: number): number {
  if (!(year >= 1800 && year <= 2199 && month >= 1 && month <= 12 && day >= 1)) return NaN;
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  if (day > DAYS_IN_MONTH[month - 1]! + (leap && month === 2 ? 1 : 0)) return NaN;
  const before = year - 1;
  const leapDays = Math.floor(before / 4) - Math.floor(before / 100) + Math.floor(before / 400) - 477;
  const dayOfYear = DAYS_BEFORE_MONTH[month - 1]! + day - 1 + (leap && month > 2 ? 1 : 0);
  return ((year - 1970) * 365 + leapDays + dayOfYear) * DAY_MS;
}

/** Ms since midnight of a clock reading; 24:00:00 is the end of the day; NaN outside 00:00 to 24:00. A leap second is no reading. */
export function clockMs(hour: number, minute: number, second: number): number {
  if (!(hour >= 0 && hour <= 24 && minute >= 0 && minute <= 59 && second >= 0 && second < 60)) return NaN;
  const ms = hour * 3_600_000 + minute * 60_000 + second * 1000;
  return ms <= DAY_MS ? ms : NaN;
}

/** The number of `count` digits at `at`; -1 where one of them is no digit. */
function digits(text: string, at: number, count: number): number {
  let n = 0;
  for (let i = at; i < at + count; i++) {
    const d = text.charCodeAt(i) - 48;
    if (!(d >= 0 && d <= 9)) return -1;
    n = n * 10 + d;
  }
  return n;
}

/**
 * Reads `text[from, to)` as ISO 8601 (extended form): `2024-04-28`, `2024-04-28T14:30`, `…:05`, `…:05.25`, each with `Z`, `±hh`, `±hhmm` or
 * `±hh:mm` or without an offset; a space may stand for the T, and 24:00 is the end of the day. Reads character by character and allocates
 * nothing.
 *
 * @returns true and fills `out`; false (with `out` undefined in meaning) where the text is anything else, or a date or clock that does not
 * exist.
 */
export function scanIso(text: string, from: number, to: number, out: IsoTime): boolean {
  if (to - from < 10 || text.charCodeAt(from + 4) !== 45 || text.charCodeAt(from + 7) !== 45) return false;
  const date = dateMs(digits(text, from, 4), digits(text, from + 5, 2), digits(text, from + 8, 2));
  if (!(date === date)) return false;
  out.offsetMs = NaN;
  out.dateOnly = to - from === 10;
  out.localMs = date;
  if (out.dateOnly) return true;

  const mark = text.charCodeAt(from + 10);
  if ((mark !== 84 && mark !== 116 && mark !== 32) || to - from < 16 || text.charCodeAt(from + 13) !== 58) return false;
  let at = from + 16;
  let second = 0;
  if (at < to && text.charCodeAt(at) === 58) {
    if (to - at < 3) return false;
    second = digits(text, at + 1, 2);
    if (second < 0) return false;
    at += 3;
    if (at < to && (text.charCodeAt(at) === 46 || text.charCodeAt(at) === 44)) {
      let scale = 0.1;
      const first = ++at;
      for (; at < to; at++, scale /= 10) {
        const d = text.charCodeAt(at) - 48;
        if (!(d >= 0 && d <= 9)) break;
        second += d * scale;
      }
      if (at === first) return false;
      second = Math.round(second * 1000) / 1000;
      // .9996 s rounds up to a full minute: keep it inside its own second.
      if (second >= 60) second = 59.999;
    }
  }
  const clock = clockMs(digits(text, from + 11, 2), digits(text, from + 14, 2), second);
  if (!(clock === clock)) return false;
  out.localMs = date + Math.round(clock);
  return at === to || scanOffset(text, at, to, out);
}

/** `Z`, `±hh`, `±hhmm`, `±hh:mm` filling `text[at, to)`. Offsets run from −15:59 to +15:59 (the widest ever in use). */
function scanOffset(text: string, at: number, to: number, out: IsoTime): boolean {
  const sign = text.charCodeAt(at);
  if (sign === 90 || sign === 122) {
    out.offsetMs = 0;
    return to === at + 1;
  }
  if (sign !== 43 && sign !== 45) return false;
  const length = to - at;
  const colon = length === 6 && text.charCodeAt(at + 3) === 58;
  if (!(length === 3 || length === 5 || colon)) return false;
  const hours = digits(text, at + 1, 2);
  const minutes = length === 3 ? 0 : digits(text, at + (colon ? 4 : 3), 2);
  if (!(hours >= 0 && hours <= 15 && minutes >= 0 && minutes <= 59)) return false;
  out.offsetMs = (sign === 45 ? -1 : 1) * (hours * 60 + minutes) * 60_000;
  return true;
}

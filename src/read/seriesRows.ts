import type { RawSeries } from '../series/gaugeRecord.js';
import { scanIso, type IsoTime } from '../series/isoTime.js';
import type { ZoneClock } from '../series/time.js';
import type { IssueLog } from './issueLog.js';
import { keepTimed } from './keepTimed.js';
import { scanNumber } from './scanText.js';
import { DAY, LOCAL, settleTimes } from './settleTimes.js';

const HALF_DAY_MS = 43_200_000;
const DAY_MS = 86_400_000;

/** Collects the readings of one series of a format without lines (XML, JSON), one call a reading. */
export interface SeriesRows {
  readonly add: (time: string, value: string, code: string) => void;
  /** Readings so far. */
  readonly count: () => number;
  /** The series, times settled in the zone; rows without a usable time are left out and listed. */
  readonly close: (identity: Omit<RawSeries, 'timesMs' | 'values' | 'codes' | 'rows' | 'unreadable'>) => RawSeries;
}

/**
 * `begins`, `ends`: each value stands for the day that begins, or ends, at its time where that is midnight; it is put at that day's noon,
 * as a bare date is.
 */
export type DayMeans = 'none' | 'begins' | 'ends';

interface RowOptions {
  readonly file: string;
  readonly clock: ZoneClock;
  readonly log: IssueLog;
  /** Value that stands for "no value" in this series. */
  readonly noData?: number;
  readonly dayMeans?: DayMeans;
}

/** @see SeriesRows */
export function seriesRows({ file, clock, log, noData = NaN, dayMeans = 'none' }: RowOptions): SeriesRows {
  let capacity = 1024;
  let timesMs = new Float64Array(capacity);
  let values = new Float64Array(capacity);
  let kind = new Uint8Array(capacity);
  const codes: string[] = [];
  const unreadable = new Map<number, string>();
  const shared = new Map<string, string>();
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  let n = 0;

  const share = (code: string) => {
    const known = shared.get(code);
    if (known !== undefined) return known;
    shared.set(code, code);
    return code;
  };

  const add = (time: string, value: string, code: string) => {
    if (!scanIso(time, 0, time.length, iso)) {
      log.add({
        code: 'time-unreadable',
        severity: 'warning',
        file,
        found: time === '' ? 'a reading without a time' : `'${time.slice(0, 40)}'`,
        expected: 'a time such as 2024-04-28T14:30:00-07:00',
      });
      return;
    }
    if (n === capacity) {
      capacity *= 2;
      timesMs = extended(timesMs, new Float64Array(capacity));
      values = extended(values, new Float64Array(capacity));
      kind = extended(kind, new Uint8Array(capacity));
    }
    const hasOffset = iso.offsetMs === iso.offsetMs;
    const midnight = !iso.dateOnly && dayMeans !== 'none' && iso.localMs % DAY_MS === 0;
    const day = iso.dateOnly || midnight;
    const noon = midnight && dayMeans === 'ends' ? -HALF_DAY_MS : HALF_DAY_MS;
    timesMs[n] = iso.localMs + (day ? noon : 0) - (hasOffset ? iso.offsetMs : 0);
    kind[n] = (hasOffset ? 0 : LOCAL) + (day ? DAY : 0);
    const number = scanNumber(value, 0, value.length);
    values[n] = number === noData ? NaN : number;
    if (!(number === number) && value.trim() !== '') unreadable.set(n, value.trim().slice(0, 40));
    codes.push(share(code));
    n++;
  };

  const close: SeriesRows['close'] = (identity) => {
    const rows = new Int32Array(n);
    const settled = settleTimes({ file, timesMs, kind, rows, count: n, column: 'time' }, clock, log);
    return keepTimed({
      ...identity,
      ...(settled.dayMeans && { dayMeans: true }),
      timesMs: timesMs.subarray(0, n),
      values: values.subarray(0, n),
      codes,
      rows,
      unreadable,
    });
  };

  return { add, count: () => n, close };
}

function extended<T extends Float64Array | Uint8Array>(from: T, to: T): T {
  to.set(from);
  return to;
}

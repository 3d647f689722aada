import type { ZoneClock } from '../series/time.js';
import type { IssueLog } from './issueLog.js';

/** Kind of a time: its offset is still to be found. */
export const LOCAL = 1;
/** Kind of a time: it stands for a whole day, and is put at its noon. */
export const DAY = 2;

/** Rows of a gauge file whose times still want their zone. */
export interface UnsettledTimes {
  readonly file: string;
  /**
   * UTC ms, or the clock reading as if UTC where `kind[i]` holds LOCAL. Changed in place to UTC, NaN for a row that cannot be used, or was
   * refused before.
   */
  readonly timesMs: Float64Array;
  /** 0, LOCAL, DAY or their sum. */
  readonly kind: Uint8Array;
  /** 1-based lines; 0 where the format has none. */
  readonly rows: Int32Array;
  readonly count: number;
  readonly column: string;
}

/**
 * Turns local times into UTC through a zone. A reading in the hour skipped in spring is refused. The doubled autumn hour is told apart by
 * the order of the rows: where the clock steps back once among the doubled rows, those before it belong to the first pass and those after
 * it to the second (a file that runs backwards is read backwards); where it does not, the rows could be either and are refused, because a
 * reading that is an hour off in a rise is worse than none.
 *
 * A date without a clock among times of day (or the other way round) could be midnight, noon or the whole day: the rarer of the two kinds
 * is refused.
 *
 * @returns whether each row that is left stands for a whole day
 */
export function settleTimes(times: UnsettledTimes, clock: ZoneClock, log: IssueLog): { readonly dayMeans: boolean } {
  const { file, timesMs, kind, rows, count, column } = times;
  const pair = new Float64Array(2);
  const timed = timesMs.subarray(0, count).filter((time) => time === time);
  const backwards = timed.at(-1)! < timed[0]!;
  const rowOf = (i: number) => (rows[i]! > 0 ? rows[i]! : undefined);
  const dayMeans = refuseRarerKind();
  let i = 0;
  while (i < count) {
    if ((kind[i]! & LOCAL) === 0 || !(timesMs[i] === timesMs[i])) {
      i++;
      continue;
    }
    const reading = timesMs[i]!;
    const many = clock.instants(reading, pair);
    if (many === 1) {
      timesMs[i++] = pair[0]!;
    } else if (many === 0) {
      log.add({
        code: 'time-nonexistent',
        severity: 'warning',
        file,
        row: rowOf(i),
        column,
        found: `a time in the hour skipped on ${clockText(reading).slice(0, 10)}`,
        expected: `a time that the clocks of ${clock.zone} showed`,
        hint: "If the file keeps one offset all year, give that as the gauge's timeZone, e.g. Etc/GMT+5.",
      });
      timesMs[i++] = NaN;
    } else {
      let end = i + 1;
      while (end < count && (kind[end]! & LOCAL) !== 0 && Math.abs(timesMs[end]! - reading) < 7_200_000) {
        if (clock.instants(timesMs[end]!, pair) !== 2) break;
        end++;
      }
      settleDoubled(i, end);
      i = end;
    }
  }
  return { dayMeans };

  /** Leaves one kind of time. True where that is whole days. */
  function refuseRarerKind(): boolean {
    let days = 0;
    for (let k = 0; k < count; k++) if (timesMs[k] === timesMs[k] && (kind[k]! & DAY) !== 0) days++;
    const daysStay = days * 2 > timed.length;
    if (days === 0 || days === timed.length) return daysStay;
    for (let k = 0; k < count; k++) {
      if (!(timesMs[k] === timesMs[k]) || ((kind[k]! & DAY) !== 0) === daysStay) continue;
      const row = rowOf(k);
      log.add({
        code: 'time-unreadable',
        severity: 'warning',
        file,
        ...(row !== undefined && { row }),
        column,
        found: daysStay ? 'a time of day among dates' : 'a date without a time of day among times',
        expected: daysStay ? 'dates, as in the other rows' : 'a time of day, as in the other rows',
        hint: daysStay
          ? 'A daily value stands for its whole day. Put readings of a moment into a gauge of their own.'
          : 'It could be midnight, noon or the mean of the day. Write the time of day.',
      });
      timesMs[k] = NaN;
    }
    return daysStay;
  }

  /** Rows [from, to) all show a reading that came twice. */
  function settleDoubled(from: number, to: number): void {
    let stepsBack = 0;
    let turn = to;
    for (let k = from + 1; k < to; k++) {
      const onward = backwards ? timesMs[k]! < timesMs[k - 1]! : timesMs[k]! > timesMs[k - 1]!;
      if (onward) continue;
      stepsBack++;
      turn = k;
    }
    const told = stepsBack === 1;
    const day = clockText(timesMs[from]!).slice(0, 10);
    log.add({
      code: 'time-ambiguous',
      severity: told ? 'note' : 'warning',
      file,
      row: rowOf(from),
      column,
      found: `times in the doubled hour of ${day}`,
      expected: told ? 'each pass once, in order' : 'both passes of the hour, or an offset',
      hint: told
        ? 'The clock steps back once, so the rows before are the first pass and those after it the second.'
        : 'Either pass could be meant, so the rows are not used. ' +
          "If the file keeps one offset all year, give that as the gauge's timeZone, e.g. Etc/GMT+5.",
      count: to - from,
    });
    for (let k = from; k < to; k++) {
      clock.instants(timesMs[k]!, pair);
      const firstPass = k < turn !== backwards;
      timesMs[k] = told ? pair[firstPass ? 0 : 1]! : NaN;
    }
  }
}

/** `2024-04-28 14:30` of a clock reading. */
export function clockText(localMs: number): string {
  return new Date(localMs).toISOString().slice(0, 16).replace('T', ' ');
}

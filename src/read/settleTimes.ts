import type { ZoneClock } from '../series/time.js';
import type { IssueLog } from './issueLog.js';

/** Rows of a gauge file whose times still want their zone. */
export interface UnsettledTimes {
  readonly file: string;
  /** UTC ms where `local[i]` is 0; the clock reading as if UTC where it is 1. Changed in place to UTC, NaN for a row that cannot be used. */
  readonly timesMs: Float64Array;
  readonly local: Uint8Array;
  /** 1-based lines; 0 where the format has none. */
  readonly rows: Int32Array;
  readonly count: number;
  readonly column: string;
}

/**
 * Turns local times into UTC through a zone. A reading in the hour skipped in spring is refused. The doubled autumn hour is told apart by the order
 * of the rows: where the clock steps back once among the doubled rows, those before it belong to the first pass and those after it to the second
 * (a file that runs backwards is read backwards); where it does not, the rows could be either and are refused, because a reading that is an hour off in a
 * rise is worse than none.
 *
 * @returns how many rows were refused
 */
export function settleTimes(times: UnsettledTimes, clock: ZoneClock, log: IssueLog): number {
  const { file, timesMs, local, rows, count, column } = times;
  const pair = new Float64Array(2);
  const backwards = count > 1 && timesMs[count - 1]! < timesMs[0]!;
  const rowOf = (i: number) => (rows[i]! > 0 ? rows[i]! : undefined);
  let refused = 0;
  let i = 0;
  while (i < count) {
    if (local[i] === 0) {
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
      refused++;
    } else {
      let end = i + 1;
      while (end < count && local[end] === 1 && Math.abs(timesMs[end]! - reading) < 7_200_000) {
        if (clock.instants(timesMs[end]!, pair) !== 2) break;
        end++;
      }
      refused += settleDoubled(i, end);
      i = end;
    }
  }
  return refused;

  /** Rows [from, to) all show a reading that came twice. Returns how many were refused. */
  function settleDoubled(from: number, to: number): number {
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
        : "Either pass could be meant, so the rows are not used. If the file keeps one offset all year, give that as the gauge's timeZone, e.g. Etc/GMT+5.",
      count: to - from,
    });
    for (let k = from; k < to; k++) {
      clock.instants(timesMs[k]!, pair);
      const firstPass = k < turn !== backwards;
      timesMs[k] = told ? pair[firstPass ? 0 : 1]! : NaN;
    }
    return told ? 0 : to - from;
  }
}

/** `2024-04-28 14:30` of a clock reading. */
export function clockText(localMs: number): string {
  return new Date(localMs).toISOString().slice(0, 16).replace('T', ' ');
}

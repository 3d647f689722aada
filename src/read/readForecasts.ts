import { parse } from 'csv-parse/sync';
import type { Forecast } from '../series/forecast.js';
import type { Issue } from '../series/issue.js';
import { readTime, zoneClock } from '../series/time.js';
import type { NamedFile } from './types.js';

/** Columns of a forecast file, in any order; others are passed over. */
const COLUMNS = ['issued', 'time', 'value'] as const;

/**
 * Official forecasts of a gauge, the present one and those of the past: a row a forecast value, with when it was issued, the time it is for,
 * and the value in the gauge's unit.
 *
 * @param options.timeZone IANA zone of times without an offset.
 * @returns one forecast an issue time, the oldest first, and an issue for every row that is no forecast value
 */
export function readForecasts(
  { name, bytes }: NamedFile,
  { timeZone }: { timeZone: string },
): { readonly forecasts: readonly Forecast[]; readonly issues: readonly Issue[] } {
  const issues: Issue[] = [];
  const refuse = (
    row: number,
    column: string | undefined,
    [found, expected, hint]: readonly [string, string, string],
  ) =>
    issues.push({
      code: 'value-unreadable',
      severity: 'warning',
      file: name,
      row,
      ...(column !== undefined && { column }),
      found,
      expected,
      hint,
    });
  const table = tableOf(bytes);
  const heads = (table[0]?.record ?? []).map((head) => head.replace(/^"|"$/g, ''));
  const missing = COLUMNS.filter((column) => !heads.includes(column));
  if (missing.length > 0) {
    refuse(1, missing[0], [
      `a header without ${missing.join(', ')}`,
      COLUMNS.join(','),
      'Name the columns issued, time and value in the first row.',
    ]);
    return { forecasts: [], issues };
  }
  const clock = zoneClock(timeZone);
  const at = COLUMNS.map((column) => heads.indexOf(column));
  const byIssue = new Map<number, [timeMs: number, value: number][]>();
  for (const { record, line } of table.slice(1)) {
    const [issued = '', time = '', number = ''] = at.map((i) => (record[i] ?? '').replace(/^"|"$/g, '').trim());
    const [issuedMs, timeMs] = [issued, time].map((text) => timeOf(text, clock));
    const value = number === '' ? NaN : Number(number);
    if (issuedMs === undefined || timeMs === undefined)
      refuse(line, issuedMs === undefined ? 'issued' : 'time', [
        `'${issuedMs === undefined ? issued : time}'`,
        'one moment, such as 2031-05-04T10:00Z',
        'Write date and time, with an offset where the clock changes.',
      ]);
    else if (!Number.isFinite(value))
      refuse(line, 'value', [`'${number}'`, "a number in the gauge's unit", 'Remove the row or correct it.']);
    else if (timeMs <= issuedMs)
      refuse(line, 'time', [
        'a time that is not after the one of issue',
        'a later time',
        'A forecast is of what is to come: leave observed values out.',
      ]);
    else byIssue.set(issuedMs, [...(byIssue.get(issuedMs) ?? []), [timeMs, value]]);
  }
  const forecasts = [...byIssue]
    .sort(([a], [b]) => a - b)
    .map(([issuedMs, values]) => {
      const rows = [...new Map(values)].sort(([a], [b]) => a - b);
      return {
        issuedMs,
        timesMs: Float64Array.from(rows, ([timeMs]) => timeMs),
        values: Float64Array.from(rows, ([, value]) => value),
      };
    });
  return { forecasts, issues };
}

/** Rows with the line each begins on; cells as they stand. */
function tableOf(bytes: Uint8Array): readonly { readonly record: readonly string[]; readonly line: number }[] {
  const rows = parse(Buffer.from(bytes), {
    bom: true,
    info: true,
    relax_column_count: true,
    quote: false,
    skip_empty_lines: true,
    trim: true,
  }) as unknown as readonly { readonly record: string[]; readonly info: { readonly lines: number } }[];
  return rows.map(({ record, info }) => ({ record, line: info.lines }));
}

function timeOf(text: string, clock: ReturnType<typeof zoneClock>): number | undefined {
  const read = readTime(text, clock);
  return read.kind === 'exact' ? read.timeMs : undefined;
}

import type { Forecast } from '../series/forecast.js';
import type { Issue } from '../series/issue.js';
import { readTime, zoneClock, type ZoneClock } from '../series/time.js';
import { logTable } from './logTable.js';
import { tableText } from './tableText.js';
import type { NamedFile } from './types.js';

/** Columns of a forecast file, in any order; others are passed over. */
const COLUMNS = ['issued', 'time', 'value'] as const;
type Column = (typeof COLUMNS)[number];

interface ForecastRow {
  readonly issuedMs: number;
  readonly timeMs: number;
  readonly value: number;
}

/** Why a row is no forecast value. */
type Fault = Required<Pick<Issue, 'found' | 'expected' | 'hint'>> & { readonly column: Column };

/**
 * Official forecasts of a gauge, the present one and those of the past: a row a forecast value, with when it was issued, the time it is
 * for, and the value in the gauge's unit.
 *
 * @param options.timeZone IANA zone of times without an offset.
 * @returns one forecast an issue time, the oldest first, and an issue for every row that is no forecast value
 */
export function readForecasts(
  file: NamedFile,
  { timeZone }: { timeZone: string },
): { readonly forecasts: readonly Forecast[]; readonly issues: readonly Issue[] } {
  const text = tableText(file);
  if ('issue' in text) return { forecasts: [], issues: [{ ...text.issue, severity: 'warning' }] };
  const [head, ...rows] = logTable(text, {}).rows;
  const at = COLUMNS.map((column) => head?.cells.indexOf(column) ?? -1);
  const missing = COLUMNS.filter((_, i) => at[i]! < 0);
  if (missing.length > 0) return { forecasts: [], issues: [issueOf(file, 1, headFault(missing))] };
  const clock = zoneClock(timeZone);
  const issues: Issue[] = [];
  const read = rows.flatMap(({ cells, row, problem }): readonly ForecastRow[] => {
    const found =
      problem === undefined
        ? forecastRow(
            at.map((i) => cells[i] ?? ''),
            clock,
          )
        : problem(file.name);
    if ('value' in found) return [found];
    issues.push('file' in found ? found : issueOf(file, row, found));
    return [];
  });
  return { forecasts: byIssue(read), issues };
}

function forecastRow(cells: readonly string[], clock: ZoneClock): ForecastRow | Fault {
  const [issued = '', time = '', number = ''] = cells;
  const issuedMs = timeOf(issued, clock);
  const timeMs = timeOf(time, clock);
  const value = number === '' ? NaN : Number(number);
  if (issuedMs === undefined) return timeFault('issued', issued);
  if (timeMs === undefined) return timeFault('time', time);
  if (!Number.isFinite(value))
    return {
      column: 'value',
      found: `'${number}'`,
      expected: "a number in the gauge's unit",
      hint: 'Remove the row or correct it.',
    };
  if (timeMs > issuedMs) return { issuedMs, timeMs, value };
  return {
    column: 'time',
    found: 'a time that is not after the one of issue',
    expected: 'a later time',
    hint: 'A forecast is of what is to come: leave observed values out.',
  };
}

function byIssue(rows: readonly ForecastRow[]): readonly Forecast[] {
  const values = new Map<number, Map<number, number>>();
  for (const { issuedMs, timeMs, value } of rows) {
    const one = values.get(issuedMs) ?? new Map<number, number>();
    values.set(issuedMs, one.set(timeMs, value));
  }
  return [...values]
    .sort(([a], [b]) => a - b)
    .map(([issuedMs, one]) => {
      const ascending = [...one].sort(([a], [b]) => a - b);
      return {
        issuedMs,
        timesMs: Float64Array.from(ascending, ([timeMs]) => timeMs),
        values: Float64Array.from(ascending, ([, value]) => value),
      };
    });
}

function timeOf(text: string, clock: ZoneClock): number | undefined {
  const read = readTime(text, clock);
  return read.kind === 'exact' ? read.timeMs : undefined;
}

const timeFault = (column: Column, found: string): Fault => ({
  column,
  found: `'${found}'`,
  expected: 'one moment, such as 2031-05-04T10:00Z',
  hint: 'Write date and time, with an offset where the clock changes.',
});

const headFault = (missing: readonly Column[]): Fault => ({
  column: missing[0]!,
  found: `a header without ${missing.join(', ')}`,
  expected: COLUMNS.join(','),
  hint: 'Name the columns issued, time and value in the first row.',
});

function issueOf({ name }: NamedFile, row: number, fault: Fault): Issue {
  return { code: 'value-unreadable', severity: 'warning', file: name, row, ...fault };
}

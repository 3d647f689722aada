import { expect } from 'vitest';
import { buildRecord, type BuiltRecord } from '../../src/read/buildRecord.js';
import type { Gauge } from '../../src/series/creek.js';
import type { GaugeRecord, RawSeries } from '../../src/series/gaugeRecord.js';
import { issueSentence, type Issue } from '../../src/series/issue.js';

export const HOUR = 3_600_000;
export const T0 = Date.UTC(2024, 0, 1);
export const gauge: Gauge = {
  id: 'big',
  name: 'Big river',
  parameter: 'discharge',
  unit: 'm3/s',
  files: ['a'],
  format: 'rdb',
};
export const said = (issues: readonly Issue[]) => issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);

/** A series from `[hour, value, code]` rows; rows of the file count from 11. */
export function series(
  rows: readonly (readonly [number, number, string?])[],
  more: Partial<RawSeries> = {},
): RawSeries {
  return {
    key: 'k',
    timesMs: Float64Array.from(rows, ([hour]) => T0 + hour * HOUR),
    values: Float64Array.from(rows, ([, value]) => value),
    codes: rows.map(([, , code]) => code ?? ''),
    rows: Int32Array.from(rows, (_, i) => i + 11),
    ...more,
  };
}
export const part = (
  rows: readonly (readonly [number, number, string?])[],
  file = 'a',
  more: Partial<RawSeries> = {},
) => ({
  file,
  series: series(rows, more),
});
export const pairs = (record: GaugeRecord | undefined) =>
  Array.from(record!.timesMs, (ms, i) => [(ms - T0) / HOUR, record!.values[i]]);

const LOST = new Set(['value-missing', 'value-unreadable', 'value-refused', 'duplicate-time']);
function accountFor({ record, issues, rowsIn, rowsUsed }: BuiltRecord): void {
  const listed = issues.filter((issue) => LOST.has(issue.code)).reduce((sum, issue) => sum + (issue.count ?? 1), 0);
  expect(rowsUsed + listed).toBe(rowsIn);
  expect(record === undefined ? 0 : record.values.filter((value) => value === value).length).toBe(rowsUsed);
}
/** A record, with its rows accounted for. */
export function build(parts: Parameters<typeof buildRecord>[1], more: Partial<Gauge> = {}): BuiltRecord {
  const built = buildRecord({ ...gauge, ...more }, parts);
  accountFor(built);
  return built;
}

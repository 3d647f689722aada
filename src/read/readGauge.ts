import type { Gauge } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { buildRecord, type BuiltRecord, type RecordPart } from './buildRecord.js';
import { chooseSeries } from './chooseSeries.js';
import { readDelimited } from './readDelimited.js';
import { readRdb } from './readRdb.js';
import { readWaterml1 } from './readWaterml1.js';
import { readWaterml2 } from './readWaterml2.js';
import type { GaugeRead, NamedFile } from './types.js';

const READERS: Readonly<Record<Gauge['format'], (file: NamedFile, gauge: Gauge, defaultZone: string) => GaugeRead>> = {
  rdb: readRdb,
  waterml2: readWaterml2,
  waterml1: readWaterml1,
  delimited: readDelimited,
};

/** Codes of issues that stand for file rows which never became a time and value. */
const ROW_LOST = new Set(['row-shape', 'time-unreadable', 'time-nonexistent', 'time-ambiguous', 'zone-unknown']);

/**
 * One gauge's record from its files, with everything that could not be used: read by the gauge's format, one series chosen, joined and cleaned.
 * @returns no record where a file is missing or any of it is fatal
 */
export function readGauge(gauge: Gauge, files: readonly NamedFile[], defaultZone: string): BuiltRecord {
  const issues: Issue[] = [];
  const parts: RecordPart[] = [];
  let rowsLost = 0;
  for (const path of gauge.files) {
    const file = files.find((candidate) => candidate.name === path);
    if (file === undefined) {
      issues.push({
        code: 'file-missing',
        severity: 'fatal',
        file: path,
        found: 'no such file',
        expected: `a file of gauge '${gauge.id}'`,
        hint: 'Put the download there, or correct files in creek.json.',
      });
      continue;
    }
    const read = READERS[gauge.format](file, gauge, defaultZone);
    issues.push(...read.issues);
    if (read.issues.some((issue) => issue.severity === 'fatal')) continue;
    for (const issue of read.issues)
      if (issue.severity === 'warning' && ROW_LOST.has(issue.code)) rowsLost += issue.count ?? 1;
    const chosen = chooseSeries(file.name, read.series, gauge);
    issues.push(...chosen.issues);
    if (chosen.series !== undefined) parts.push({ file: file.name, series: chosen.series });
  }
  const mixed = differentSeries(gauge, parts);
  if (mixed !== undefined) issues.push(mixed);
  if (issues.some((issue) => issue.severity === 'fatal'))
    return { record: undefined, issues, rowsIn: rowsLost, rowsUsed: 0 };
  const built = buildRecord(gauge, parts);
  return { ...built, issues: [...issues, ...built.issues], rowsIn: built.rowsIn + rowsLost };
}

/** Two files of one gauge that hold different series: joined they would be a record of nothing. */
function differentSeries(gauge: Gauge, parts: readonly RecordPart[]): Issue | undefined {
  const [first, ...others] = parts;
  const keys = ['site', 'parameterCode', 'statisticCode'] as const;
  const other = others.find((part) =>
    keys.some((key) => {
      const [a, b] = [first!.series[key], part.series[key]];
      return a !== undefined && b !== undefined && a !== b;
    }),
  );
  if (other === undefined) return undefined;
  return {
    code: 'series-ambiguous',
    severity: 'fatal',
    file: other.file,
    found: `series '${other.series.key}', where ${first!.file} has '${first!.series.key}'`,
    expected: `one series in all files of gauge '${gauge.id}'`,
    hint: 'Give each series a gauge of its own in creek.json.',
  };
}

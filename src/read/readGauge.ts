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
const ROW_LOST = new Set([
  'row-shape',
  'value-unreadable',
  'time-unreadable',
  'time-nonexistent',
  'time-ambiguous',
  'zone-unknown',
]);

/**
 * One gauge's record from its files, with everything that could not be used: read by the gauge's format, one series chosen, joined and
 * cleaned.
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
  issues.push(...differentSeries(gauge, parts));
  if (issues.some((issue) => issue.severity === 'fatal'))
    return { record: undefined, issues, rowsIn: rowsLost, rowsUsed: 0 };
  const built = buildRecord(gauge, parts, { zone: gauge.timeZone ?? defaultZone });
  return { ...built, issues: [...issues, ...built.issues], rowsIn: built.rowsIn + rowsLost };
}

/** Two files of one gauge that hold different series, kinds of value or datums: joined they would be a record of nothing. */
function differentSeries(gauge: Gauge, parts: readonly RecordPart[]): readonly Issue[] {
  const [first, ...others] = parts;
  if (first === undefined) return [];
  const keys = ['site', 'parameterCode', 'statisticCode'] as const;
  const fatal = (file: string, found: string, expected: string, hint: string): Issue[] => [
    { code: 'series-ambiguous', severity: 'fatal', file, found, expected, hint },
  ];
  const differ = (a: string | undefined, b: string | undefined) => a !== undefined && b !== undefined && a !== b;
  const other = others.find((part) => keys.some((key) => differ(first.series[key], part.series[key])));
  if (other !== undefined)
    return fatal(
      other.file,
      `series '${other.series.key}', where ${first.file} has '${first.series.key}'`,
      `one series in all files of gauge '${gauge.id}'`,
      'Give each series a gauge of its own in creek.json.',
    );
  const kind = (part: RecordPart) => (part.series.dayMeans ? 'daily values' : 'readings of moments');
  const mixed = others.find((part) => part.series.timesMs.length > 0 && kind(part) !== kind(first));
  if (mixed !== undefined && first.series.timesMs.length > 0)
    return fatal(
      mixed.file,
      `${kind(mixed)}, where ${first.file} has ${kind(first)}`,
      `one kind in all files of gauge '${gauge.id}'`,
      'A daily value stands for its whole day and not for noon. Give each kind a gauge of its own in creek.json.',
    );
  const moved =
    gauge.parameter === 'stage' ? others.find((part) => differ(first.series.datum, part.series.datum)) : undefined;
  if (moved !== undefined)
    return fatal(
      moved.file,
      `stages above datum '${moved.series.datum}', where ${first.file} has '${first.series.datum}'`,
      `one datum in all files of gauge '${gauge.id}'`,
      'Give each datum a gauge of its own in creek.json; stages are never shifted in silence.',
    );
  return [];
}

import type { CreekInput } from '../../read/types.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Issue } from '../../series/issue.js';
import { unitLabel } from '../../series/units.js';
import { countIssues, issuesText } from '../text/issuesText.js';
import { plainText } from '../text/plainText.js';
import { counted, day } from '../../series/format.js';

/** A record by its readings, and the days of its first and last one. */
interface RecordCount {
  readonly id: string;
  readonly readings: number;
  readonly from: string;
  readonly to: string;
}

/** What `check` says, as data for scripts. */
export interface CheckReport {
  readonly kind: 'creek-check';
  readonly fatal: number;
  readonly warnings: number;
  readonly notes: number;
  readonly issues: readonly Issue[];
  readonly visits: number;
  readonly counts: CreekInput['counts'];
  readonly gauges: readonly RecordCount[];
  /** The club's own loggers, which are not charted as gauges. */
  readonly loggers: readonly RecordCount[];
  readonly files: CreekInput['files'];
}

/** The input of a folder counted: every issue, and what could be read. */
export function checkReport(input: CreekInput): CheckReport {
  const zone = input.creek?.timeZone ?? 'UTC';
  const countOf = (record: GaugeRecord): RecordCount => ({
    id: record.gauge,
    readings: record.values.reduce((n, value) => n + (Number.isNaN(value) ? 0 : 1), 0),
    from: day(record.timesMs[0] ?? NaN, zone),
    to: day(record.timesMs.at(-1) ?? NaN, zone),
  });
  return {
    kind: 'creek-check',
    ...countIssues(input.issues),
    issues: input.issues,
    visits: input.visits.length,
    counts: input.counts,
    gauges: input.records.map(countOf),
    loggers: (input.loggers ?? []).map(countOf),
    files: input.files,
  };
}

/** The same for people: what was read, then every issue. */
export function checkText(
  input: CreekInput,
  { colour = false, width = 80, all = true }: { colour?: boolean; width?: number; all?: boolean } = {},
): string {
  const report = checkReport(input);
  const { sightingRows, sightingsUsed, comments = 0 } = input.counts;
  const line = (count: RecordCount, { name, parameter, unit }: GaugeRecord, where = ''): string => {
    const span = count.readings === 0 ? '' : `, ${count.from} to ${count.to}`;
    return `  ${plainText(name)}${where}: ${counted(count.readings, 'reading')} of ${parameter} in ${unitLabel(unit)}${span}`;
  };
  const gauges = report.gauges.map((count, i) => line(count, input.records[i]!));
  const loggers = report.loggers.map((count, i) => {
    const run = input.creek?.loggers?.find(({ id }) => id === count.id)?.run ?? '';
    return line(count, input.loggers![i]!, ` (a logger at run ${plainText(run)})`);
  });
  const lines = [
    ...(input.creek === undefined ? [] : [plainText(input.creek.name)]),

    `  ${counted(report.visits, 'visit')} from ${sightingsUsed} of ` +
      `${counted(sightingRows, 'sighting row')}${comments > 0 ? `, ${counted(comments, 'comment line')}` : ''}`,
    ...gauges,
    ...loggers,
    '',
  ];
  return `${lines.join('\n')}\n${issuesText(input.issues, { colour, width, all })}`;
}

import type { CreekInput } from '../../read/types.js';
import type { Issue } from '../../series/issue.js';
import { unitLabel } from '../../series/units.js';
import { countIssues, issuesText } from '../text/issuesText.js';
import { plainText } from '../text/plainText.js';
import { dayText, plural } from '../text/trustTexts.js';

/** What `check` says, as data for scripts. */
export interface CheckReport {
  readonly kind: 'creek-check';
  readonly fatal: number;
  readonly warnings: number;
  readonly notes: number;
  readonly issues: readonly Issue[];
  readonly visits: number;
  readonly counts: CreekInput['counts'];
  readonly gauges: readonly {
    readonly id: string;
    readonly readings: number;
    readonly from: string;
    readonly to: string;
  }[];
  readonly files: CreekInput['files'];
}

/** The input of a folder counted: every issue, and what could be read. */
export function checkReport(input: CreekInput): CheckReport {
  const zone = input.creek?.timeZone ?? 'UTC';
  return {
    kind: 'creek-check',
    ...countIssues(input.issues),
    issues: input.issues,
    visits: input.visits.length,
    counts: input.counts,
    gauges: input.records.map((record) => ({
      id: record.gauge,
      readings: record.values.reduce((n, value) => n + (Number.isNaN(value) ? 0 : 1), 0),
      from: dayText(record.timesMs[0] ?? NaN, zone),
      to: dayText(record.timesMs.at(-1) ?? NaN, zone),
    })),
    files: input.files,
  };
}

/** The same for people: what was read, then every issue. */
export function checkText(
  input: CreekInput,
  { colour = false, width = 80 }: { colour?: boolean; width?: number } = {},
): string {
  const report = checkReport(input);
  const { sightingRows, sightingsUsed } = input.counts;
  const gauges = report.gauges.map((gauge, i) => {
    const { name, parameter, unit } = input.records[i]!;
    const span = gauge.readings === 0 ? '' : `, ${gauge.from} to ${gauge.to}`;
    return `  ${plainText(name)}: ${plural(gauge.readings, 'reading')} of ${parameter} in ${unitLabel(unit)}${span}`;
  });
  const lines = [
    ...(input.creek === undefined ? [] : [plainText(input.creek.name)]),
    `  ${plural(report.visits, 'visit')} from ${sightingsUsed} of ${plural(sightingRows, 'sighting row')}`,
    ...gauges,
    '',
  ];
  return `${lines.join('\n')}\n${issuesText(input.issues, { colour, width })}`;
}

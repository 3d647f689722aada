import { alignVisits, DEFAULT_LAG_HOURS, lagGrid } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import type { CreekInput } from '../read/types.js';
import type { Issue } from '../series/issue.js';
import type { ChartOptions } from './fitCreek.js';

/** Sightings that found no reading of a gauge, as issues for the list of rows not used. */
export function unmatchedIssues(aligned: readonly Aligned[]): Issue[] {
  return aligned.flatMap((a) =>
    a.unmatched.map((u): Issue => ({
      code: 'unmatched',
      severity: 'warning',
      file: u.file ?? 'visits.csv',
      row: u.row,
      found: `visit ${u.visit}`,
      expected: `a reading of gauge ${a.gauge} around its time`,
      hint: `Not used with this gauge: ${u.reason}.`,
    })),
  );
}

/** The rows of a chart's input that took no part, and why, for one creek: the reader's issues and what found no reading. */
export function notUsedIssues(
  input: CreekInput,
  options: Pick<ChartOptions, 'lagHours' | 'runs' | 'gauges'> = {},
): readonly Issue[] {
  const { creek } = input;
  if (creek === undefined) return input.issues;
  const lagsHours = lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS);
  const aligned = creek.runs
    .filter((r) => options.runs?.includes(r.id) ?? true)
    .flatMap((run) =>
      input.records
        .filter((r) => options.gauges?.includes(r.gauge) ?? true)
        .map((record) => alignVisits({ creek, run, record, visits: input.visits }, { lagsHours, storagesHours: [0] })),
    );
  return [...input.issues, ...unmatchedIssues(aligned)];
}

/** Rows by the code of their issue, in the order of codes. */
export function countNotUsed(issues: readonly Issue[]): { code: string; rows: number }[] {
  const rows = new Map<string, number>();
  for (const issue of issues) rows.set(issue.code, (rows.get(issue.code) ?? 0) + (issue.count ?? 1));
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([code, count]) => ({ code, rows: count }));
}

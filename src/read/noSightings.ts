import type { Issue, IssueCode } from '../series/issue.js';
import type { VisitsRead } from './readVisits.js';

/**
 * The fatal issue of a log without a row, or with rows of which not one can be used, with the cause that most of them share and what its
 * first row says to do. None where a sighting is used, or where the file was refused as a whole.
 */
export function noSightings(file: string, { sightingRows, sightingsUsed, issues }: VisitsRead): readonly Issue[] {
  if (sightingsUsed > 0 || issues.some(({ severity }) => severity === 'fatal')) return [];
  if (sightingRows === 0)
    return [
      {
        code: 'no-sightings',
        severity: 'fatal',
        file,
        found: 'a header row and no sighting under it',
        expected: 'one row a sighting',
        hint: 'Write down visits first; a chart needs about ten.',
      },
    ];
  const lost = issues.filter(({ severity }) => severity === 'warning');
  const rows = new Map<IssueCode, number>();
  for (const { code } of lost) rows.set(code, (rows.get(code) ?? 0) + 1);
  const most = lost.reduce<Issue | undefined>(
    (top, issue) => (top === undefined || rows.get(issue.code)! > rows.get(top.code)! ? issue : top),
    undefined,
  );
  if (most === undefined) return [];
  const cause = most.row === undefined ? most.code : `${most.code}, first in row ${most.row}: ${most.found ?? ''}`;
  return [
    {
      code: most.code,
      severity: 'fatal',
      file,
      ...(most.column !== undefined && { column: most.column }),
      found: `no usable sighting in ${sightingRows} rows (most often ${cause})`,
      expected: most.expected ?? 'a row that can be used',
      hint: 'Mend that in all rows first; every row is listed with its reason.',
    },
  ];
}

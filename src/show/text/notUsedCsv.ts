import type { Issue } from '../../series/issue.js';
import { csvTable } from './csvTable.js';

/**
 * Every row or value that is not in the chart, with where it stands and why: the issues that are fatal or warnings.
 * Notes are left out, for what they speak of is used. `rows` counts equal neighbours folded into one line.
 * @example notUsedCsv(input.issues)
 */
export function notUsedCsv(issues: readonly Issue[]): string {
  return csvTable(
    ['file', 'row', 'column', 'reason', 'severity', 'rows', 'found', 'expected', 'hint'],
    issues
      .filter(({ severity }) => severity !== 'note')
      .map((issue) => [
        issue.file,
        issue.row,
        issue.column,
        issue.code,
        issue.severity,
        issue.count ?? 1,
        issue.found,
        issue.expected,
        issue.hint,
      ]),
  );
}

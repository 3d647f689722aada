import type { Issue, IssueCode } from '../series/issue.js';

/** A list of issues in which equal neighbours are folded, so that a month of ice is one line and not 2,976. */
export interface IssueLog {
  readonly add: (issue: Issue) => void;
  readonly issues: () => readonly Issue[];
}

/** Separate issues kept of one code before the rest is folded into the last: a broken file must not fill the memory. */
const MOST_OF_ONE_CODE = 2000;

/**
 * An issue that differs from the last one of its code only by standing on the next row (or by having no row) adds to that one's `count`.
 * Beyond 2000 separate issues of one code the rest of that code counts into the last one, which says so in its hint.
 */
export function issueLog(): IssueLog {
  const all: Issue[] = [];
  const open = new Map<IssueCode, { at: number; nextRow: number | undefined; separate: number }>();

  const add = (issue: Issue) => {
    const count = issue.count ?? 1;
    const nextRow = issue.row === undefined ? undefined : issue.row + count;
    const last = open.get(issue.code);
    if (last !== undefined) {
      const before = all[last.at]!;
      if (last.separate >= MOST_OF_ONE_CODE && before.severity === issue.severity) {
        const hint = `This row and further ones with other causes, too many to list one by one.`;
        all[last.at] = { ...before, count: (before.count ?? 1) + count, hint };
        return;
      }
      if (last.nextRow === issue.row && alike(before, issue)) {
        all[last.at] = { ...before, count: (before.count ?? 1) + count };
        last.nextRow = nextRow;
        return;
      }
    }
    open.set(issue.code, { at: all.length, nextRow, separate: (last?.separate ?? 0) + 1 });
    all.push(issue);
  };

  return { add, issues: () => Object.freeze(all.map((issue) => Object.freeze(issue))) };
}

function alike(a: Issue, b: Issue): boolean {
  return (
    a.severity === b.severity &&
    a.file === b.file &&
    a.column === b.column &&
    a.found === b.found &&
    a.expected === b.expected &&
    a.hint === b.hint
  );
}

import type { Issue } from '../series/issue.js';

/** A list of issues in which equal neighbours are folded, so that a month of ice is one line and not 2,976. */
export interface IssueLog {
  readonly add: (issue: Issue) => void;
  readonly issues: () => readonly Issue[];
}

/** Separate issues of one kind that stand each; what is beyond them is told in one. */
const EACH = 5;
/** How many of the things found in the rest are named. */
const NAMED = 3;

/** Issues of one severity, code, file and column. */
interface Kind {
  /** Where the last one, or what it was folded into, stands in the list. */
  at: number;
  /** The first of the last separate ones, as it came. */
  last: Issue | undefined;
  /** The row that would follow it. */
  nextRow: number | undefined;
  separate: number;
  /** What was found beyond the first few, each once, up to one more than is named. */
  readonly found: string[];
}

/**
 * An issue that differs from the last one of its kind (severity, code, file, column) only by standing on the next row (or by having no row) adds to that
 * one's `count`. The first five separate issues of a kind stand each; the rest of it is one issue that counts every row, names what was found and says how far down
 * the file it goes: a file that is broken throughout is read in a glance and no row of it is lost.
 */
export function issueLog(): IssueLog {
  const all: Issue[] = [];
  const kinds = new Map<string, Kind>();

  const add = (issue: Issue) => {
    const count = issue.count ?? 1;
    const nextRow = issue.row === undefined ? undefined : issue.row + count;
    const key = `${issue.severity} ${issue.code} ${issue.file}\n${issue.column ?? ''}`;
    const kind = kinds.get(key) ?? { at: -1, last: undefined, nextRow: undefined, separate: 0, found: [] };
    const before = all[kind.at];
    const next = kind.last !== undefined && kind.nextRow === issue.row && alike(kind.last, issue);
    if (!next) {
      kind.separate++;
      kind.last = issue;
      if (kind.separate > EACH && kind.found.length <= NAMED && !kind.found.includes(issue.found ?? ''))
        kind.found.push(issue.found ?? '');
    }
    kinds.set(key, kind);
    kind.nextRow = nextRow;
    if (before === undefined || (!next && kind.separate <= EACH + 1)) {
      kind.at = all.length;
      all.push(issue);
    } else if (kind.separate <= EACH + 1) all[kind.at] = { ...before, count: (before.count ?? 1) + count };
    else all[kind.at] = restOf(before, count, kind);
  };

  return { add, issues: () => Object.freeze(all.map((issue) => Object.freeze(issue))) };
}

/** The issue that stands for all beyond the first few, with one more of them in it. */
function restOf(before: Issue, count: number, { found, nextRow, separate }: Kind): Issue {
  const named = found.slice(0, NAMED).filter((text) => text !== '');
  const down = nextRow === undefined ? '' : `, down to row ${nextRow - 1}`;
  return {
    ...before,
    ...(named.length > 0 && { found: named.join(', ') + (found.length > NAMED ? ' and others' : '') }),
    count: (before.count ?? 1) + count,
    hint: `This stands for ${separate - EACH} further places like the ${EACH} above${down}. Mend the cause of those first.`,
  };
}

function alike(a: Issue, b: Issue): boolean {
  return a.found === b.found && a.expected === b.expected && a.hint === b.hint;
}

import type { Issue } from '../series/issue.js';

/** A list of issues in which equal neighbours are folded, so that a month of ice is one line and not 2,976. */
export interface IssueLog {
  readonly add: (issue: Issue) => void;
  readonly issues: () => readonly Issue[];
}

/** Up to so many separate issues of one kind stand each: as many as a real record has gaps. */
const LISTED = 12;
/** Of more, so many stand each, and what is beyond them is told in one. */
const EACH = 5;
/** How many of the things found in the rest are named. */
const NAMED = 3;

/** Issues of one severity, code, file and column. */
interface Kind {
  /** Where they stand in the list, at most as many as are listed each. */
  readonly at: number[];
  /** The first of the last separate ones, as it came. */
  last: Issue | undefined;
  /** The row that would follow it. */
  nextRow: number | undefined;
  separate: number;
  /** What was found beyond the first few, each once, up to one more than is named. */
  readonly found: string[];
}

/**
 * An issue that differs from the last one of its kind (severity, code, file, column) only by standing on the next row (or by having no row)
 * adds to that one's `count`. Up to 12 separate issues of a kind stand each. Of more, the first five do; the rest is one issue that counts
 * every row, names what was found and says how far down the file it goes: a file that is broken throughout is read in a glance and no row
 * of it is lost.
 */
export function issueLog(): IssueLog {
  const all: (Issue | undefined)[] = [];
  const kinds = new Map<string, Kind>();

  const add = (issue: Issue) => {
    const count = issue.count ?? 1;
    const key = `${issue.severity} ${issue.code} ${issue.file}\n${issue.column ?? ''}`;
    const kind = kinds.get(key) ?? { at: [], last: undefined, nextRow: undefined, separate: 0, found: [] };
    kinds.set(key, kind);
    const next = kind.last !== undefined && kind.nextRow === issue.row && alike(kind.last, issue);
    kind.nextRow = issue.row === undefined ? undefined : issue.row + count;
    if (!next) {
      kind.separate++;
      kind.last = issue;
      if (kind.separate > EACH && kind.found.length <= NAMED && !kind.found.includes(issue.found ?? ''))
        kind.found.push(issue.found ?? '');
    }
    if (!next && kind.separate <= LISTED) {
      kind.at.push(all.length);
      all.push(issue);
      return;
    }
    if (kind.separate > LISTED) foldRest(kind);
    const at = kind.at.at(-1)!;
    const sum = { ...all[at]!, count: (all[at]!.count ?? 1) + count };
    all[at] = kind.separate > LISTED ? restOf(sum, kind) : sum;
  };

  /** Puts the counts of all beyond the first few into the first of these. */
  const foldRest = ({ at }: Kind) => {
    for (const k of at.splice(EACH + 1)) {
      const first = all[at[EACH]!]!;
      all[at[EACH]!] = { ...first, count: (first.count ?? 1) + (all[k]!.count ?? 1) };
      all[k] = undefined;
    }
  };

  return {
    add,
    issues: () => Object.freeze(all.filter((issue) => issue !== undefined).map((issue) => Object.freeze(issue))),
  };
}

/** The issue that stands for all of a kind beyond the first few, in words. */
function restOf(sum: Issue, { found, nextRow, separate }: Kind): Issue {
  const named = found.slice(0, NAMED).filter((text) => text !== '');
  const down = nextRow === undefined ? '' : `, down to row ${nextRow - 1}`;
  return {
    ...sum,
    ...(named.length > 0 && { found: named.join(', ') + (found.length > NAMED ? ' and others' : '') }),
    hint: `This stands for ${separate - EACH} further places like the ${EACH} above${down}. Mend the cause of those first.`,
  };
}

function alike(a: Issue, b: Issue): boolean {
  return a.found === b.found && a.expected === b.expected && a.hint === b.hint;
}

import pc from 'picocolors';
import { issueSentence, type Issue, type Severity } from '../../series/issue.js';
import { plainText } from './plainText.js';
import { counted } from '../../series/format.js';
import { wrapText } from './wrapText.js';

const HEADINGS: readonly { readonly severity: Severity; readonly heading: string }[] = [
  { severity: 'fatal', heading: 'Fatal: no chart until these are mended' },
  { severity: 'warning', heading: 'Warnings: these rows or values are not used' },
  { severity: 'note', heading: 'Notes: used, and you should know how' },
];

/** How many issues of each severity there are. */
export function countIssues(issues: readonly Issue[]): { fatal: number; warnings: number; notes: number } {
  const count = (severity: Severity) => issues.filter((issue) => issue.severity === severity).length;
  return { fatal: count('fatal'), warnings: count('warning'), notes: count('note') };
}

/**
 * Every issue as a sentence, the fatal ones first, then in the order given; ends with the counts.
 * @param options.all false: issues of one cause (code, file, column and what to do) are one, with its first rows and how many there are
 * @example process.stdout.write(issuesText(input.issues))
 */
export function issuesText(
  issues: readonly Issue[],
  { colour = false, width = 80, all = true }: { colour?: boolean; width?: number; all?: boolean } = {},
): string {
  const { bold } = pc.createColors(colour);
  const lines = HEADINGS.flatMap(({ severity, heading }) => {
    const own = issues.filter((issue) => issue.severity === severity);
    const sentences = (all ? own : byCause(own)).map((issue) => `${plainText(issueSentence(issue))} [${issue.code}]`);
    return sentences.length === 0
      ? []
      : [bold(heading), ...sentences.flatMap((sentence) => wrapText(sentence, { width, first: '  - ' })), ''];
  });
  const { fatal, warnings, notes } = countIssues(issues);
  const counts = `${fatal} fatal, ${counted(warnings, 'warning')}, ${counted(notes, 'note')}.`;
  return `${[...lines, issues.length === 0 ? 'No problems found.' : counts].join('\n')}\n`;
}

/** Rows that are named of a cause. */
const NAMED = 3;

/** One issue a cause, in the order of the first of each. */
function byCause(issues: readonly Issue[]): readonly Issue[] {
  const causes = new Map<string, Issue[]>();
  for (const issue of issues) {
    const cause = JSON.stringify([issue.code, issue.file, issue.column, toDo(issue)]);
    causes.set(cause, [...(causes.get(cause) ?? []), issue]);
  }
  return [...causes.values()].flatMap((group) => {
    if (group.length <= NAMED) return group;
    const places = group
      .slice(0, NAMED)
      .map(({ row, found }) => `${found ?? ''}${row === undefined ? '' : ` (row ${row})`}`);
    const count = group.reduce((sum, issue) => sum + (issue.count ?? 1), 0);
    return [
      { ...group[0]!, hint: toDo(group[0]!), found: `${places.join(', ')} and ${group.length - NAMED} more`, count },
    ];
  });
}

/** What to do, without where a spell of lost readings lies: that is no cause of its own. */
function toDo({ hint }: Issue): string | undefined {
  return hint?.replace(/\s*(At|From) \d{4}-.*$/, '');
}

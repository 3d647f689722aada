import pc from 'picocolors';
import { issueSentence, type Issue, type Severity } from '../../series/issue.js';
import { plainText } from './plainText.js';
import { plural } from './trustTexts.js';
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
 * @example process.stdout.write(issuesText(input.issues))
 */
export function issuesText(
  issues: readonly Issue[],
  { colour = false, width = 80 }: { colour?: boolean; width?: number } = {},
): string {
  const { bold } = pc.createColors(colour);
  const lines = HEADINGS.flatMap(({ severity, heading }) => {
    const sentences = issues
      .filter((issue) => issue.severity === severity)
      .map((issue) => `${plainText(issueSentence(issue))} [${issue.code}]`);
    return sentences.length === 0
      ? []
      : [bold(heading), ...sentences.flatMap((sentence) => wrapText(sentence, { width, first: '  - ' })), ''];
  });
  const { fatal, warnings, notes } = countIssues(issues);
  const counts = `${fatal} fatal, ${plural(warnings, 'warning')}, ${plural(notes, 'note')}.`;
  return `${[...lines, issues.length === 0 ? 'No problems found.' : counts].join('\n')}\n`;
}

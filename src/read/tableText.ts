import type { Issue } from '../series/issue.js';
import { decodeText } from './decodeText.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import type { NamedFile } from './types.js';

/** The text of a table whose lines end with \n (or \r\n), and how many lines it has. */
export interface TableText {
  readonly text: string;
  readonly lines: number;
}

/**
 * The text of a file of lines. A lone carriage return is a line break too (files of old systems, and two downloads pasted together), so
 * that a line is a line whatever program wrote the file.
 * @returns the fatal issue of a file that cannot be decoded, or whose lines are too many or too long
 */
export function tableText(
  file: NamedFile,
  { encoding, mostBytes }: { encoding?: 'utf-8' | 'latin1'; mostBytes?: number } = {},
): TableText | { readonly issue: Issue } {
  const decoded = decodeText(file, { encoding, mostBytes });
  if ('issue' in decoded) return decoded;
  const text = /\r(?!\n)/.test(decoded.text) ? decoded.text.replace(/\r\n?/g, '\n') : decoded.text;
  let lines = 1;
  let from = 0;
  for (let at = text.indexOf('\n'); ; at = text.indexOf('\n', from)) {
    const to = at < 0 ? text.length : at;
    if (to - from > LIMITS.lineLetters)
      return {
        issue: limitIssue(file.name, {
          row: lines,
          found: `a line of ${inThousands(to - from)} letters`,
          most: inThousands(LIMITS.lineLetters),
          hint: 'No table has such lines: download the file again, or check that it is what format says.',
        }),
      };
    if (at < 0) break;
    from = at + 1;
    lines++;
  }
  if (lines > LIMITS.lines)
    return {
      issue: limitIssue(file.name, {
        found: `${inThousands(lines)} lines`,
        most: inThousands(LIMITS.lines),
        hint: 'Cut the file into several and list them all under files.',
      }),
    };
  return { text, lines };
}

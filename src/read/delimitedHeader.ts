import type { Gauge } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import { didYouMean } from './nearestWord.js';
import { cellText, endOfLine, recordCutter } from './recordCutter.js';

/** Where a delimited table has what the gauge's mapping names; -1 for a column that the mapping leaves out. */
export interface DelimitedHeader {
  readonly time: number;
  readonly clock: number;
  readonly value: number;
  readonly quality: number;
  /** Columns that have a name. */
  readonly width: number;
  /** 1-based line of the header row, and how many lines it takes. */
  readonly line: number;
  readonly lines: number;
  /** Index of the line break after it. */
  readonly end: number;
  /** The lines before it. */
  readonly before: readonly string[];
}

/** The header row of a delimited table, or the fatal issues why it cannot be used: a column missing or there twice, too many of them. */
export function delimitedHeader(
  { file, text }: { file: string; text: string },
  { columns, skipLines = 0, delimiter = ',' }: Pick<Gauge, 'columns' | 'skipLines' | 'delimiter'>,
): DelimitedHeader | { readonly issues: readonly Issue[] } {
  const before: string[] = [];
  let at = 0;
  let line = 1;
  for (let skip = skipLines; skip > 0; skip--) {
    const end = endOfLine(text, at);
    before.push(text.slice(at, end));
    at = Math.min(end + 1, text.length);
    if (end === text.length) break;
    line++;
  }
  const cutter = recordCutter(text, { delimiter, most: LIMITS.columns });
  const { cells, end, breaks, problem } = cutter.cutAt(at);
  if (cells > LIMITS.columns)
    return {
      issues: [
        limitIssue(file, {
          row: line,
          found: `${inThousands(cells)} columns`,
          most: inThousands(LIMITS.columns),
          hint: 'Check delimiter and skipLines; a table of readings has a handful.',
        }),
      ],
    };
  const header = Array.from({ length: problem === '' ? cells : 0 }, (_, i) =>
    cellText(text, cutter.starts[i]!, cutter.ends[i]!),
  );
  const timeName = columns?.time ?? columns?.date;
  const clockName = columns?.time === undefined ? columns?.clock : undefined;
  const wanted = [timeName, clockName, columns?.value, columns?.quality].filter((name) => name !== undefined);
  const index = (name: string | undefined) => (name === undefined ? -1 : header.indexOf(plainName(name)));
  const missing = wanted.filter((name) => index(name) < 0);
  if (missing.length > 0)
    return { issues: missing.map((name) => columnMissing({ file, row: line, name, header, delimiter })) };
  const twice = wanted.find((name) => header.lastIndexOf(plainName(name)) !== index(name));
  if (twice !== undefined)
    return {
      issues: [
        {
          code: 'wrong-format',
          severity: 'fatal',
          file,
          row: line,
          column: twice,
          found: `two columns named '${twice.slice(0, 40)}'`,
          expected: 'one',
          hint: 'Rename one of them in the file: either could be meant.',
        },
      ],
    };
  return {
    time: index(timeName),
    clock: index(clockName),
    value: index(columns?.value),
    quality: index(columns?.quality),
    width: header.findLastIndex((name) => name !== '') + 1,
    line,
    lines: 1 + breaks,
    end,
    before,
  };
}

function plainName(name: string): string {
  return name.replace(/\s+/g, ' ').trim();
}

/** What stands between the cells, for people. */
export function delimiterName(delimiter: string): string {
  return delimiter === '\t' ? 'tabs' : `'${delimiter}'`;
}

interface Missing {
  readonly file: string;
  readonly row: number;
  readonly name: string;
  readonly header: readonly string[];
  readonly delimiter: string;
}

function columnMissing({ file, row, name, header, delimiter }: Missing): Issue {
  const near = didYouMean(name, header);
  const single =
    header.length <= 1
      ? ` The row is not cut by ${delimiterName(delimiter)}: check delimiter and skipLines.`
      : ' Check skipLines (lines before the header row), encoding and the column names.';
  return {
    code: 'column-missing',
    severity: 'fatal',
    file,
    row,
    column: name,
    found:
      header.length === 0
        ? 'no header row'
        : `columns ${header.map((h) => `'${h.slice(0, 40)}'`).join(', ')}`.slice(0, 400),
    expected: `a column named '${name}'`,
    hint: (near ?? '') + single.slice(near === undefined ? 1 : 0),
  };
}

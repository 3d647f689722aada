import type { Issue } from '../series/issue.js';
import { recordCutter, type CutRecord } from './recordCutter.js';
import { skipBlanks } from './scanText.js';

/** Walks down the rows of a delimited table; blank lines are no rows. */
export interface TableRows {
  /** The next row, in an object that is used again; undefined after the last. */
  readonly next: () => CutRecord | undefined;
  /** 1-based physical line on which that row begins. */
  readonly line: () => number;
  /** Lines so far that begin with the comment mark. */
  readonly comments: () => number;
  /** Bounds of the row's first cells in the text. */
  readonly starts: Int32Array;
  readonly ends: Int32Array;
}

interface TableShape {
  readonly delimiter: string;
  /** Cells whose bounds are kept. */
  readonly most: number;
  /** Index of the first row's first letter, and its 1-based line. */
  readonly at: number;
  readonly line: number;
  /**
   * Whether a line has what a row has: such a line inside a quoted cell was taken in by a quote left open, and behind a comment mark it is
   * listed.
   */
  readonly isRow: (line: string) => boolean;
  /** Begins a line that is a comment; left out for formats that have none. */
  readonly comment?: string;
  /** Begins the line after the last row. */
  readonly stopAt?: string;
}

/** The rows of a table from a place on; visits and gauge tables are both read with it. */
export function tableRows(text: string, { at, line, comment, stopAt = '', ...shape }: TableShape): TableRows {
  const { cutAt, starts, ends } = recordCutter(text, shape);
  let from = at;
  let next = line;
  let begun = line;
  let comments = 0;

  const cut = (): CutRecord | undefined => {
    while (from < text.length) {
      const newline = text.indexOf('\n', from);
      const lineEnd = newline < 0 ? text.length : newline;
      const first = skipBlanks(text, from, lineEnd);
      const blank = first === lineEnd || (first === lineEnd - 1 && text.charCodeAt(first) === 13);
      if (!blank && stopAt !== '' && text.startsWith(stopAt, first)) return undefined;
      const remark = !blank && comment !== undefined && text.startsWith(comment, first);
      begun = next;
      // '# 12 …' is a comment whatever follows; '#12,…' may be a visit's name.
      const named = remark && text[first + comment.length] !== ' ' && shape.isRow(text.slice(from, lineEnd));
      if (!blank && (!remark || named)) {
        const record = cutAt(from);
        if (named) record.problem = 'a comment with the cells of a row';
        from = record.end + 1;
        next += 1 + record.breaks;
        return record;
      }
      if (remark) comments++;
      from = lineEnd + 1;
      next++;
    }
    return undefined;
  };
  return { next: cut, line: () => begun, comments: () => comments, starts, ends };
}

/** The issue of a row that cannot be cut into cells, or has too many or too few of them. */
export function shapeIssue(at: { file: string; line: number }, found: string, expected: string, hint: string): Issue {
  return { code: 'row-shape', severity: 'warning', file: at.file, row: at.line, found, expected, hint };
}

/** The issue of a row that the cutter gave up. */
export function cutIssue(file: string, line: number, { problem, closedAfter }: CutRecord): Issue {
  if (problem === 'a comment with the cells of a row')
    return shapeIssue(
      { file, line },
      problem,
      "a row, or a comment behind '#'",
      "It is not used. If it is a row, put its first cell in double quotes or leave out the '#'.",
    );
  const whole = problem === 'a quote that takes in whole rows';
  return shapeIssue(
    { file, line },
    whole ? `a quote opened here and closed on line ${line + closedAfter}, with whole rows inside` : problem,
    'a double quote that is closed in its row',
    'Close the quote, or write a quote inside a cell twice. The lines after it are read as rows of their own.',
  );
}

/**
 * Which numbers of cells are those of a whole row: the header's; the number that all rows have; and any that at least a tenth of the rows
 * have, and two. A row with any other number has lost a cell or gained one, and nobody can say which.
 */
export function usualCells(counts: ArrayLike<number>, rows: number, width: number): (cells: number) => boolean {
  const many = new Map<number, number>();
  for (let i = 0; i < rows; i++) many.set(counts[i]!, (many.get(counts[i]!) ?? 0) + 1);
  return (cells) => {
    const having = many.get(cells) ?? 0;
    return cells === width || having === rows || (having >= 2 && having * 10 >= rows);
  };
}

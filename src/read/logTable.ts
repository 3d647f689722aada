import type { Issue } from '../series/issue.js';
import { LIMITS } from './limits.js';
import { cutIssue, shapeIssue, tableRows, usualCells } from './tableRows.js';
import type { TableText } from './tableText.js';

export interface LogRow {
  readonly cells: readonly string[];
  /** 1-based line on which the row begins. */
  readonly row: number;
  /** Cells that hold a quote and do not stand in quotes. */
  readonly marks: readonly number[];
  /** Why the row cannot be used whatever its cells say. */
  readonly problem?: (file: string) => Issue;
}

export interface LogTable {
  /** The header's first; blank ones are left out behind it. */
  readonly rows: readonly LogRow[];
  readonly comments: number;
  /** The last line has no line break. */
  readonly cut: boolean;
  readonly delimiter: string;
}

interface LogShape {
  readonly delimiter?: string;
  readonly skipLines?: number;
  /** Begins a line that is a comment. */
  readonly comment?: string;
  /** Cells that the shortest row has at least. */
  readonly least?: number;
}

/** Cells and first lines of all rows of a log; one row more than is read tells of others. */
export function logTable(
  { text }: TableText,
  { delimiter = ',', skipLines = 0, comment, least = 2 }: LogShape,
): LogTable {
  const rows: LogRow[] = [];
  const width = () => rows[0]?.cells.length ?? 0;
  const table = tableRows(text, {
    delimiter,
    most: LIMITS.columns + 1,
    ...afterLines(text, skipLines),
    ...(comment !== undefined && { comment }),
    isRow: (line) => line.split(delimiter).length >= Math.max(width() - 1, least),
  });
  for (
    let record = table.next();
    record !== undefined && rows.length < LIMITS.sightingRows + 2;
    record = table.next()
  ) {
    const row = table.line();
    const cells = Array.from({ length: Math.min(record.cells, LIMITS.columns + 1) }, (_, i) =>
      text.slice(table.starts[i], table.ends[i]).replaceAll('""', '"').replaceAll('\r\n', '\n').trim(),
    );
    const { ...cut } = record;
    if (rows.length > 0 && cut.problem === '' && cells.every((cell) => cell === '')) continue;
    const marks = [...cells.keys()].filter((i) => cells[i]!.includes('"') && !quotedAt(table.starts[i]!));
    rows.push({
      cells,
      row,
      marks,
      ...(cut.problem !== '' && { problem: (file: string) => cutIssue(file, row, cut) }),
    });
  }
  /** Whether the cell that begins here stands in quotes. */
  function quotedAt(start: number): boolean {
    return /"\s*$/.test(text.slice(Math.max(0, start - 10), start));
  }
  return { rows, comments: table.comments(), cut: !text.endsWith('\n'), delimiter };
}

function afterLines(text: string, lines: number): { at: number; line: number } {
  let at = 0;
  for (let i = 0; i < lines; i++) {
    const end = text.indexOf('\n', at);
    if (end < 0) return { at: text.length, line: i + 1 };
    at = end + 1;
  }
  return { at, line: lines + 1 };
}

/** What is wrong with the number of a row's cells, for each row behind the header; which of them are missing nobody can say. */
export function rowShapes(
  file: string,
  { rows: all, cut, delimiter }: LogTable,
  { width, named }: { width: number; named: ReadonlyMap<number, string> },
): (i: number) => Issue | undefined {
  const rows = all.slice(1);
  const mark =
    delimiter === ',' ? 'comma' : delimiter === ';' ? 'semicolon' : delimiter === '\t' ? 'tab' : `'${delimiter}'`;
  const usual = usualCells(
    rows.map(({ cells }) => cells.length),
    rows.length,
    width,
  );
  return (i) => {
    const { cells, row, marks, problem } = rows[i]!;
    if (problem !== undefined) return problem(file);
    const at = { file, line: row };
    const found = `${cells.length} cells`;
    if (cells.slice(width).some((cell) => cell !== ''))
      return shapeIssue(
        at,
        found,
        `${width}, as in the first row`,
        `Put a cell that holds a ${mark} in double quotes.`,
      );
    const quote = marks.find((k) => named.has(k));
    if (quote !== undefined)
      return {
        ...shapeIssue(
          at,
          'a double quote inside a cell',
          'a cell without one, or in quotes',
          'Delete the quote, or put the cell in quotes and write it twice.',
        ),
        column: named.get(quote)!,
      };
    if (!usual(cells.length) && cells.length < width)
      return shapeIssue(
        at,
        found,
        `${width}, as in the first row and in the other rows`,
        `An empty cell is written as nothing between two ${mark}s.`,
      );
    if (rows[i - 1]?.cells.length === 1 && rows[i - 1]!.row === row - 1 && rows[i - 1]!.problem === undefined)
      return shapeIssue(
        at,
        'a row after a line of one cell',
        'a row in a line',
        'The line before may be its beginning. Join the two, or delete the line before.',
      );
    if (cut && i === rows.length - 1 && cells.length < width)
      return shapeIssue(
        at,
        'a last row that does not end',
        `${width} cells, or a line break`,
        'The file may have been cut off. If the row is whole, put a line break after it.',
      );
    return undefined;
  };
}

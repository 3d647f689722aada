import { LIMITS } from './limits.js';
import { dropBlanks, skipBlanks } from './scanText.js';

const QUOTE = 34;
const NEWLINE = 10;

/** A record of a delimited table, cut into cells. One object serves a million rows. */
export interface CutRecord {
  /** Cells found, also beyond those whose bounds are kept. */
  cells: number;
  /** True where a cell beyond those kept holds something. */
  overflow: boolean;
  /** Index of the line break that ends the record, or of the text's end. */
  end: number;
  /** Line breaks inside its quoted cells. */
  breaks: number;
  /** Why it cannot be cut; '' where it can. Then `end` is the end of its first line, and the lines after it are records of their own. */
  problem:
    | ''
    | 'a quote that is not closed'
    | 'text after a closing quote'
    | 'a quote that takes in whole rows'
    | 'a comment with the cells of a row';
  /** Lines after its first on which its last quoted cell closes. */
  closedAfter: number;
}

/**
 * Cuts the records of a delimited text, as RFC 4180 has them: a cell in double quotes may hold the delimiter, line breaks, and quotes
 * written twice. Blanks around a cell are dropped, also inside its quotes. A quote that is not closed within 100 lines, or that takes in
 * whole rows, costs its own line and no other.
 *
 * @param most cells whose bounds are kept
 * @param isRow whether a line inside a quoted cell has what a row has
 * @returns `record`, and the bounds of its first cells, inside their quotes: text[starts[i], ends[i])
 */
export function recordCutter(
  text: string,
  { delimiter, most, isRow = () => false }: { delimiter: string; most: number; isRow?: (line: string) => boolean },
) {
  const cut = delimiter.charCodeAt(0);
  const starts = new Int32Array(most);
  const ends = new Int32Array(most);
  const record: CutRecord = { cells: 0, overflow: false, end: 0, breaks: 0, problem: '', closedAfter: 0 };
  /** Where the next quote of the text stands; a line before it needs no look at quotes. */
  let quoteAt = -1;

  const keep = (from: number, to: number) => {
    const i = record.cells++;
    if (i < most) {
      starts[i] = from;
      ends[i] = to;
    } else if (to > from) record.overflow = true;
  };

  /** Start of the cell's text: blanks are passed over, but not a delimiter that is a blank itself. */
  const cellStart = (from: number, to: number) => {
    let at = from;
    while (at < to && text.charCodeAt(at) !== cut && skipBlanks(text, at, at + 1) > at) at++;
    return at;
  };

  const cutAt = (from: number): CutRecord => {
    record.cells = 0;
    record.overflow = false;
    record.breaks = 0;
    record.problem = '';
    let lineEnd = endOfLine(text, from);
    if (quoteAt < from) {
      quoteAt = text.indexOf('"', from);
      if (quoteAt < 0) quoteAt = Infinity;
    }
    const firstEnd = lineEnd;
    let to = withoutReturn(text, from, lineEnd);
    let at = from;
    for (;;) {
      let start = cellStart(at, to);
      if (quoteAt < lineEnd && start < to && text.charCodeAt(start) === QUOTE) {
        const close = closingQuote(text, start + 1, record);
        if (close < 0) return failed('a quote that is not closed', firstEnd);
        const inside = skipBlanks(text, start + 1, close);
        if (close > lineEnd) {
          lineEnd = endOfLine(text, close);
          to = withoutReturn(text, from, lineEnd);
        }
        at = cellStart(close + 1, to);
        if (at < to && text.charCodeAt(at) !== cut) return failed('text after a closing quote', firstEnd);
        keep(inside, dropBlanks(text, inside, close));
      } else {
        start = Math.min(start, to);
        at = start;
        while (at < to && text.charCodeAt(at) !== cut) at++;
        keep(start, dropBlanks(text, start, at));
      }
      if (at >= to) break;
      at++;
    }
    record.end = lineEnd;
    if (record.breaks > 0 && takesInRows(firstEnd, lineEnd))
      return failed('a quote that takes in whole rows', firstEnd);
    return record;
  };

  const takesInRows = (from: number, to: number) =>
    text
      .slice(from + 1, to)
      .split('\n')
      .some((line) => isRow(line));

  const failed = (problem: CutRecord['problem'], end: number) => {
    record.problem = problem;
    record.end = end;
    record.closedAfter = record.breaks;
    record.breaks = 0;
    return record;
  };

  return { cutAt, starts, ends };
}

/** Index of the line break that ends the line, or of the text's end. */
export function endOfLine(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  return end < 0 ? text.length : end;
}

function withoutReturn(text: string, from: number, end: number): number {
  return end > from && text.charCodeAt(end - 1) === 13 ? end - 1 : end;
}

/** Index of the quote that closes a cell; -1 where none does within the limits. Counts the line breaks on the way. */
function closingQuote(text: string, from: number, record: CutRecord): number {
  const most = Math.min(text.length, from + LIMITS.quotedLetters);
  for (let at = from; at < most; at++) {
    const code = text.charCodeAt(at);
    if (code === NEWLINE && ++record.breaks > LIMITS.quotedLines) return -1;
    if (code !== QUOTE) continue;
    if (text.charCodeAt(at + 1) !== QUOTE) return at;
    at++;
  }
  return -1;
}

/** The text of a cell: quotes written twice are one, and a run of blanks and line breaks is one blank. */
export function cellText(text: string, from: number, to: number): string {
  return oneBlank(text.slice(from, to).replaceAll('""', '"'));
}

/** `cellText` of a cell that is cut out already; nearly every one is plain and stays as it is. */
export function plainCell(cell: string): string {
  return /["\s]/.test(cell) ? cellText(cell, 0, cell.length) : cell;
}

/** A text as cells are compared: a run of blanks and line breaks is one blank, none stand around it. */
export function oneBlank(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

import { escapeHtml } from '../escape.js';
import { plainText } from '../text/plainText.js';
import { padText, textWidth } from '../text/wrapText.js';
import { fixedText } from './estimateText.js';

export type Cell = string | number | boolean | null | undefined;

/** A table ready to be shown: every row has the same keys, the columns in order. */
export interface Table {
  readonly kind: 'table';
  readonly caption: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Cell[])[];
  /** Digits after the point for numbers of a column; others show up to four digits. */
  readonly digits: Readonly<Record<string, number>>;
}

export interface TableOptions<Row> {
  /** Keys of the rows, in order; default all keys of the first row. */
  readonly columns?: readonly (keyof Row & string)[];
  readonly digits?: Partial<Readonly<Record<keyof Row & string, number>>>;
}

/**
 * Rows of any kind as a table that `show` can show.
 * @param caption what the table holds, with the unit of its numbers.
 * @returns a table; without rows it has no columns unless they are named.
 * @throws RangeError for a column that the rows do not have.
 * @example show(table('Edges, ft³/s', edges, { columns: ['between', 'median'], digits: { median: 0 } }))
 */
export function table<Row extends object>(
  caption: string,
  rows: readonly Row[],
  { columns, digits = {} }: TableOptions<Row> = {},
): Table {
  const known = Object.keys(rows[0] ?? {});
  const shown: readonly string[] = columns ?? known;
  const stranger = rows.length > 0 ? shown.find((key) => !known.includes(key)) : undefined;
  if (stranger !== undefined) throw new RangeError(`table: no column '${stranger}'; the rows have ${known.join(', ')}`);
  return Object.freeze({
    kind: 'table' as const,
    caption,
    columns: shown,
    rows: rows.map((row) => shown.map((key) => (row as Readonly<Record<string, Cell>>)[key])),
    digits: digits as Readonly<Record<string, number>>,
  });
}

/** Characters up to which a column's cells are not broken, and from which they read as a sentence and as several. */
const SHORT = 16;
const LONG = 40;
const VERY_LONG = 160;

/** The table as HTML of its own: no style sheet needed, right-aligned numbers, every text escaped. */
export function tableHtml(shown: Table): string {
  const right = numeric(shown);
  const longest = shown.columns.map((_, c) =>
    Math.max(0, ...shown.rows.map((row) => cellText(shown, c, row[c]).length)),
  );
  const align = (c: number) => `padding:2px 10px 2px 4px;text-align:${right[c] === true ? 'right' : 'left'}`;
  // On a phone the table scrolls: a date stays in one piece and a sentence keeps the width of a sentence.
  const style = (c: number) => {
    const most = longest[c]!;
    const least = most > VERY_LONG ? ';min-width:min(22em,65vw)' : most > LONG ? ';min-width:min(15em,65vw)' : '';
    return align(c) + (most <= SHORT ? ';white-space:nowrap' : least);
  };
  const head = shown.columns.map((key, c) => `<th scope="col" style="${align(c)}">${escapeHtml(words(key))}</th>`);
  const body = shown.rows.map(
    (row) =>
      `<tr>${row.map((cell, c) => `<td style="${style(c)}">${escapeHtml(cellText(shown, c, cell))}</td>`).join('')}</tr>`,
  );
  return [
    '<table style="border-collapse:collapse">',
    `<caption style="text-align:left;font-weight:600;padding:4px${shown.caption.length < 70 ? ';white-space:nowrap' : ';min-width:24em'}">${escapeHtml(shown.caption)}</caption>`,
    `<thead><tr>${head.join('')}</tr></thead>`,
    '<tbody>',
    ...body,
    '</tbody>',
    '</table>',
  ].join('\n');
}

/** The same for a terminal or a front end without HTML. */
export function tableText(shown: Table): string {
  const right = numeric(shown);
  const cells = shown.rows.map((row) => row.map((cell, c) => plainText(cellText(shown, c, cell))));
  const all = [shown.columns.map(words), ...cells];
  const widths = shown.columns.map((_, c) => Math.max(...all.map((row) => textWidth(row[c]!))));
  const line = (row: readonly string[]) =>
    row
      .map((text, c) =>
        right[c] === true ? ' '.repeat(widths[c]! - textWidth(text)) + text : padText(text, widths[c]!),
      )
      .join('  ')
      .trimEnd();
  return [plainText(shown.caption), ...all.map(line)].join('\n');
}

/** A column of numbers (and gaps) stands at the right. */
function numeric({ columns, rows }: Table): readonly boolean[] {
  return columns.map((_, c) => {
    const filled = rows.map((row) => row[c]).filter((cell) => cell !== null && cell !== undefined);
    return filled.length > 0 && filled.every((cell) => typeof cell === 'number');
  });
}

/** `medianHours` and `median_hours` as people write it. */
function words(key: string): string {
  return key
    .replaceAll('_', ' ')
    .replace(/([a-z])([A-Z0-9])/g, '$1 $2')
    .toLowerCase();
}

function cellText({ columns, digits }: Table, column: number, cell: Cell): string {
  if (cell === null || cell === undefined) return '';
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  if (typeof cell === 'string') return cell;
  const places = digits[columns[column]!];
  if (!Number.isFinite(cell)) return '';
  if (places !== undefined) return fixedText(cell, places);
  return Number.isInteger(cell) ? String(cell) : String(Number(cell.toPrecision(4)));
}

import { createRequire } from 'node:module';
import type { DataFrame } from 'danfojs-node';
import {
  tidy,
  type Cell,
  type Columns,
  type ColumnType,
  type Table,
  type TidyRow,
  type TidyTable,
} from '../../tell/table.js';

/** A danfojs frame that remembers which rows it was made of, for the compiler only. */
export type TidyFrame<Row extends object> = DataFrame & { readonly __row?: Row };

const DTYPES: Readonly<Record<ColumnType, string>> = { number: 'float32', text: 'string', truth: 'boolean' };

/**
 * A table as a danfojs DataFrame, its tidy columns in order. The values are kept as they are (danfojs calls numbers `float32` but stores
 * doubles); a missing number becomes NaN, which is what danfojs counts as missing.
 *
 * @returns a frame; without rows, one with the columns and no rows.
 * @throws Error where danfojs-node, an optional peer, is not installed.
 * @example toFrame(edgesTable(chart)).sortValues('median')
 */
export function toFrame<Row, C extends Columns<Row>>(made: Table<Row, C>): TidyFrame<TidyRow<C>>;
export function toFrame<Row extends object>(made: TidyTable<Row>): TidyFrame<Row>;
export function toFrame(made: { readonly kind: 'table' | 'tidy-table' }): DataFrame {
  const { columns, rows } = (made.kind === 'table' ? tidy(made as Table) : made) as TidyTable;
  const keys = Object.keys(columns);
  const values = rows.map((row) =>
    keys.map((key) => (row[key] === null && columns[key] === 'number' ? NaN : row[key])),
  );
  return new (danfo().DataFrame)(values, { columns: keys, dtypes: keys.map((key) => DTYPES[columns[key]!]) });
}

/** danfojs, asked for only where a frame is made: the tables need nothing of it, and it is heavy. */
function danfo(): { readonly DataFrame: typeof DataFrame } {
  try {
    return createRequire(import.meta.url)('danfojs-node') as { readonly DataFrame: typeof DataFrame };
  } catch (error) {
    if (
      (error as NodeJS.ErrnoException).code !== 'MODULE_NOT_FOUND' ||
      !(error as Error).message.includes("'danfojs-node'")
    )
      throw error;
    throw new Error('toFrame needs the package danfojs-node, which is not installed: npm install danfojs-node');
  }
}

/**
 * The rows of a danfojs DataFrame, with the columns of a tidy table: the way back after filtering, sorting and joining.
 * Columns that the table does not have are left out; NaN and missing texts become null.
 *
 * @param frame a frame that has at least the table's columns.
 * @param like a tidy table (of any rows) that says which columns there are and what they hold.
 * @throws RangeError when the frame lacks a column; TypeError when a cell holds something else than the column says.
 * @example fromFrame(frame.sortValues('median'), tidy(edgesTable(chart))).rows[0]!.median
 */
export function fromFrame<Row extends object>(
  frame: { readonly columns: readonly string[]; readonly values: readonly unknown[] },
  like: TidyTable<Row>,
): TidyTable<Row> {
  const keys = Object.keys(like.columns) as (keyof Row & string)[];
  const places = keys.map((key) => frame.columns.indexOf(key));
  const lacking = keys.filter((_, i) => places[i]! < 0);
  if (lacking.length > 0)
    throw new RangeError(
      `fromFrame: the frame has no column ${lacking.join(', ')}; it has ${frame.columns.join(', ')}`,
    );
  const rows = frame.values.map((cells, r) => {
    const list = Array.isArray(cells) ? (cells as readonly unknown[]) : [cells];
    const pairs = keys.map((key, i) => [key, cellOf(list[places[i]!], { key, type: like.columns[key], row: r })]);
    return Object.fromEntries(pairs) as Row;
  });
  return { ...like, rows };
}

function cellOf(cell: unknown, { key, type, row }: { key: string; type: ColumnType; row: number }): Cell {
  if (cell === null || cell === undefined || Number.isNaN(cell)) return null;
  const wanted = { number: 'number', text: 'string', truth: 'boolean' }[type];
  // danfojs turns truths into 0 and 1 in some of its operations.
  if (type === 'truth' && (cell === 0 || cell === 1)) return cell === 1;
  if (typeof cell !== wanted)
    throw new TypeError(`fromFrame: row ${row}, column ${key}: expected a ${wanted}, found ${String(cell)}`);
  return cell as Cell;
}

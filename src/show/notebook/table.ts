import { fixed } from '../../series/format.js';
import { number, table as tellTable, text, truth, type AnyTable, type Cell, type Column } from '../../tell/table.js';

export interface TableOptions<Row> {
  /** Keys of the rows, in order; default all keys of the first row. */
  readonly columns?: readonly (keyof Row & string)[];
  /** Digits after the point for the numbers of a column; others show three figures. */
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
): AnyTable {
  const known = Object.keys(rows[0] ?? {});
  const keys: readonly string[] = columns ?? known;
  const stranger = rows.length > 0 ? keys.find((key) => !known.includes(key)) : undefined;
  if (stranger !== undefined) throw new RangeError(`table: no column '${stranger}'; the rows have ${known.join(', ')}`);
  const places = digits as Readonly<Record<string, number | undefined>>;
  const entries = keys.map((key) => [key, columnOf(key, rows as readonly Loose[], places[key])] as const);
  return tellTable('rows', caption, rows as readonly Loose[])(Object.fromEntries(entries));
}

type Loose = Readonly<Record<string, Cell | undefined>>;

/** A column by what its cells hold: numbers (and gaps) stand at the right, anything mixed is text. */
function columnOf(key: string, rows: readonly Loose[], digits: number | undefined): Column<Loose> {
  const label = words(key);
  const cells = rows.map((row) => row[key]).filter((cell) => cell !== null && cell !== undefined);
  const all = (type: string) => cells.length > 0 && cells.every((cell) => typeof cell === type);
  if (all('number'))
    return number('number', [label, ''], (row: Loose) => (row[key] as number | null | undefined) ?? null, {
      ...(digits === undefined ? {} : { digits: () => digits }),
    });
  if (all('boolean')) return truth(label, '', (row: Loose) => (row[key] as boolean | null | undefined) ?? null);
  return text(label, '', (row: Loose) => {
    const cell = row[key];
    if (cell === null || cell === undefined) return null;
    return typeof cell === 'number' && digits !== undefined ? fixed(cell, digits) : String(cell);
  });
}

/** `medianHours` and `median_hours` as people write it. */
function words(key: string): string {
  return key
    .replaceAll('_', ' ')
    .replace(/([a-z])([A-Z0-9])/g, '$1 $2')
    .toLowerCase();
}

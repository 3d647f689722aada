import type { TidyCell, TidyTable } from '../frames/tidyTable.js';
import { plainTable } from './plainTable.js';

/** A cell for people: numbers with three figures, the day of a time (UTC), `-` for what is missing. */
export function tidyCellText(cell: TidyCell): string {
  if (cell === null || cell === '') return '-';
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  if (typeof cell === 'string') return cell.replace(/^(\d{4}-\d\d-\d\d)T\d\d:\d\d:[\d.]+Z$/, '$1');
  if (Number.isInteger(cell)) return String(cell);
  const size = Math.abs(cell);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 0.995 ? 2 : 3;
  return Number(cell.toFixed(digits)) === 0 ? '0' : cell.toFixed(digits);
}

/**
 * A tidy table as text columns. A number and its interval (columns `…`, `low80`, `high80`) become one column `… (80 %)`.
 *
 * @param options.without columns left out. @returns lines; none without rows.
 */
export function tidyText<Row extends object>(
  { columns, rows }: Pick<TidyTable<Row>, 'columns' | 'rows'>,
  { without, width, indent = '' }: { without: readonly string[]; width: number; indent?: string },
): readonly string[] {
  const keys = Object.keys(columns).filter((key) => !without.includes(key) && !/95$/.test(key));
  const merged = keys.flatMap((_, i) => columnOf(keys, i));
  const text = (row: Row, key: string) => tidyCellText(row[key as keyof Row] as TidyCell);
  return plainTable(
    merged.map(({ key, low }) => ({
      heading: low === undefined ? words(key) : `${words(key)} (80 %)`,
      right: columns[key as keyof Row] === 'number',
    })),
    rows.map((row) =>
      merged.map(({ key, low, high }) => {
        const own = key === low ? '' : text(row, key);
        if (low === undefined || high === undefined) return own;
        const range = `${text(row, low)} to ${text(row, high)}`;
        return own === '' ? range : range === '- to -' ? own : `${own} (${range})`;
      }),
    ),
    { width, indent },
  );
}

interface TextColumn {
  readonly key: string;
  readonly low?: string;
  readonly high?: string;
}

/** The text column that begins at tidy column i; none where it was taken into the one before. */
function columnOf(keys: readonly string[], i: number): readonly TextColumn[] {
  const key = keys[i]!;
  const [next, after] = [keys[i + 1], keys[i + 2]];
  if (key === 'low80' || key === 'high80' || key.endsWith('High80')) return [];
  if (key.endsWith('Low80') && next !== undefined) return [{ key, low: key, high: next }];
  return next === 'low80' && after === 'high80' ? [{ key, low: next, high: after }] : [{ key }];
}

/** `ifRightLow80` as `if right`, `sharedVisits` as `shared visits`. */
function words(key: string): string {
  return key
    .replace(/Low80$/, '')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase();
}

import {
  counted,
  day,
  endsOf,
  figures,
  fixed,
  hours,
  isoTime,
  lnShare,
  minute,
  odds,
  plain,
  range,
  share,
  shareRange,
  shareWithI80,
  withI80,
  type Ends,
  type WithI80,
} from '../series/format.js';
import { unitLabel } from '../series/units.js';

/** What a cell may hold: a missing number is null here and NaN in a frame; a missing text is null in both. */
export type Cell = number | string | boolean | null;

/**
 * How a number is written. `gauge`: a value in the unit of the column; `ln`: a spread in ln units, written as a change in percent; `share`,
 * `odds`: as percentages; `time`: UTC milliseconds, to the minute; `day`: UTC milliseconds, to the day.
 */
export type Quantity = 'number' | 'count' | 'share' | 'odds' | 'hours' | 'ln' | 'gauge' | 'time' | 'day';

interface ColumnBase<Row> {
  /** Head of the column, for people. */
  readonly label: string;
  /** What it means, in a sentence: the documentation of the table. */
  readonly means: string;
  /** Only for machines: keys and the like that a heading already says to people. */
  readonly tidyOnly?: boolean;
  /** Unit of its numbers: after the label where all rows share it, else after each number. */
  readonly unit?: (row: Row) => string;
}

interface TextColumn<Row> extends ColumnBase<Row> {
  readonly as?: undefined;
  readonly of: (row: Row) => string | null;
}

interface TruthColumn<Row> extends ColumnBase<Row> {
  readonly as: 'truth';
  readonly of: (row: Row) => boolean | null;
}

interface NumberColumn<Row> extends ColumnBase<Row> {
  readonly as: Quantity;
  readonly of: (row: Row) => number | null;
  /** The 80 % interval around the value: two further tidy columns (`…Low80`, `…High80`), one cell for people. */
  readonly i80?: (row: Row) => Ends;
  /** The 95 % interval, for machines only: `…Low95`, `…High95`. */
  readonly i95?: (row: Row) => Ends;
  /** Decimals that the value was rounded to for people; without, as many as its interval carries, or three figures. */
  readonly digits?: (row: Row) => number;
}

/** Everything that any writer has to know of a column, said once. */
export type Column<Row> = TextColumn<Row> | TruthColumn<Row> | NumberColumn<Row>;

export type Columns<Row> = Readonly<Record<string, Column<Row>>>;

/**
 * Rows, and columns that say how each is got, called, written and meant. Frames, CSV, terminal, Markdown, HTML and documentation follow
 * from it.
 */
export interface Table<Row = never, C extends Columns<Row> = Columns<Row>> {
  readonly kind: 'table';
  /** Also the name of its frame. */
  readonly name: string;
  /** One line above it, for people. */
  readonly caption: string;
  readonly columns: C;
  readonly rows: readonly Row[];
  /** Of its times, for people. */
  readonly timeZone: string;
}

/** A table of any rows: what documents and writers hold. */
export type AnyTable = Omit<Table, 'rows'> & { readonly rows: readonly unknown[] };

/**
 * A table: rows first, so that the columns know what they are columns of.
 * @example table('edges', 'Edges of the verdict', edges)({ edge: { of: (e) => e.median, as: 'gauge', label: 'edge', means: 'The median
 * edge.' } })
 */
export function table<Row>(
  name: string,
  caption: string,
  rows: readonly Row[],
  { timeZone = 'UTC' }: { timeZone?: string } = {},
) {
  return <const C extends Columns<Row>>(columns: C): Table<Row, C> =>
    Object.freeze({ kind: 'table' as const, name, caption, columns, rows, timeZone });
}

type Held<C> = C extends { readonly as: 'time' | 'day' }
  ? string | null
  : C extends { readonly of: (row: never) => infer Value }
    ? Value
    : never;
type EndsOf<C, Key extends string> =
  | (C extends { readonly i80: unknown } ? `${Key}Low80` | `${Key}High80` : never)
  | (C extends { readonly i95: unknown } ? `${Key}Low95` | `${Key}High95` : never);
type Flat<T> = { [K in keyof T]: T[K] };

/** The tidy row that follows from columns: times as ISO 8601 texts, the ends of intervals as columns of their own. */
export type TidyRow<C> = Flat<
  { readonly [K in keyof C]: Held<C[K]> } & {
    readonly [K in keyof C & string as EndsOf<C[K], K>]: number | null;
  }
>;

export type ColumnType = 'number' | 'text' | 'truth';

/** One row an observation, one column a variable; every row has every column, in this order. */
export interface TidyTable<Row extends object = Readonly<Record<string, Cell>>> {
  readonly kind: 'tidy-table';
  readonly name: string;
  readonly columns: { readonly [Key in keyof Row]: ColumnType };
  /** What each column means. */
  readonly means: { readonly [Key in keyof Row]: string };
  readonly rows: readonly Row[];
}

/** One tidy column. */
interface TidyColumn {
  readonly key: string;
  readonly type: ColumnType;
  readonly means: string;
  readonly of: (row: never) => Cell;
}

/** The table for machines: unrounded, one variable a column. */
export function tidy<Row, C extends Columns<Row>>({ name, columns, rows }: Table<Row, C>): TidyTable<TidyRow<C>> {
  const flat = Object.entries<Column<never>>(columns as Columns<never>).flatMap(tidyColumns);
  const by = <T>(value: (column: TidyColumn) => T) => Object.fromEntries(flat.map((c) => [c.key, value(c)]));
  return Object.freeze({
    kind: 'tidy-table',
    name,
    columns: by(({ type }) => type),
    means: by(({ means }) => means),
    rows: rows.map((row) => by(({ of }) => of(row as never))),
  }) as unknown as TidyTable<TidyRow<C>>;
}

function tidyColumns([key, column]: readonly [string, Column<never>]): readonly TidyColumn[] {
  const { means } = column;
  if (column.as === undefined) return [{ key, type: 'text', means, of: column.of }];
  if (column.as === 'truth') return [{ key, type: 'truth', means, of: column.of }];
  const { of, i80, i95 } = column;
  if (column.as === 'time' || column.as === 'day') {
    const iso = (timeMs: number | null) => (timeMs === null ? null : isoTime(timeMs));
    return [{ key, type: 'text', means: `${means} UTC, ISO 8601.`, of: (row) => iso(of(row)) }];
  }
  const end = (ends: ((row: never) => Ends) | undefined, percent: number): readonly TidyColumn[] =>
    ends === undefined
      ? []
      : (['Low', 'High'] as const).map((side, at) => ({
          key: `${key}${side}${percent}`,
          type: 'number',
          means: `${side === 'Low' ? 'Lower' : 'Upper'} end of the ${percent} % interval of ${key}.`,
          of: (row) => ends(row)[at]!,
        }));
  return [{ key, type: 'number', means, of: (row) => finite(of(row)) }, ...end(i80, 80), ...end(i95, 95)];
}

function finite(value: number | null): number | null {
  return value !== null && Number.isFinite(value) ? value : null;
}

/** A table as people read it: heads and cells as texts, numbers to the right. Columns without any cell are left out. */
export interface TextTable {
  readonly caption: string;
  readonly heads: readonly { readonly text: string; readonly right: boolean }[];
  readonly rows: readonly (readonly string[])[];
}

/** The table for people, in plain text: every writer shows these cells and no others. */
export function texts({ caption, columns, rows, timeZone }: AnyTable): TextTable {
  const shown = Object.values<Column<never>>(columns)
    .filter(({ tidyOnly }) => tidyOnly !== true)
    .map((column) => textColumn(column, rows as readonly never[], timeZone))
    .filter(({ cells }) => cells.length === 0 || cells.some((cell) => cell !== ''));
  return {
    caption,
    heads: shown.map(({ head, right }) => ({ text: head, right })),
    rows: rows.map((_, r) => shown.map(({ cells }) => cells[r]!)),
  };
}

function textColumn(column: Column<never>, rows: readonly never[], timeZone: string) {
  const units = new Set(rows.map((row) => (column.unit === undefined ? '' : unitLabel(column.unit(row)))));
  const shared = units.size === 1 ? [...units][0]! : undefined;
  const tail = (row: never) =>
    column.unit === undefined || shared !== undefined ? '' : ` ${unitLabel(column.unit(row))}`;
  const cells = rows.map((row) => {
    const text = cellText(column, row, timeZone);
    return text === '' ? '' : `${text}${tail(row)}`;
  });
  const head = shared === undefined || shared === '' ? column.label : `${column.label}, ${shared}`;
  const right = column.as !== undefined && !['truth', 'time', 'day'].includes(column.as);
  return { head, right, cells };
}

function cellText(column: Column<never>, row: never, timeZone: string): string {
  if (column.as === undefined) return column.of(row) ?? '';
  if (column.as === 'truth') return { true: 'yes', false: 'no', null: '' }[String(column.of(row))]!;
  const value = finite(column.of(row));
  if (column.as === 'time') return value === null ? '' : minute(value, timeZone);
  if (column.as === 'day') return value === null ? '' : day(value, timeZone);
  const i80 = column.i80?.(row) ?? ([null, null] as const);
  if (value === null)
    return i80[0] === null && i80[1] === null ? '' : column.as === 'share' ? shareRange(i80) : endsOf(i80);
  const digits = column.digits?.(row);
  if (digits !== undefined)
    return i80[0] === null && i80[1] === null ? fixed(value, digits) : `${fixed(value, digits)} (${endsOf(i80)})`;
  if (column.as === 'share') return shareWithI80({ value, i80 });
  if (column.as === 'odds' || column.as === 'ln' || column.as === 'count')
    return withEnds(one(column.as)(value), i80, one(column.as));
  return i80[0] === null && i80[1] === null ? one(column.as)(value) : withI80({ value, i80 });
}

function withEnds(text: string, ends: Ends, show: (value: number) => string): string {
  // Both ends rounded to what the number itself says: nothing more to read.
  if (ends.every((end) => end === null || show(end) === text)) return text;
  return `${text} (${range(ends, show)})`;
}

/** One number of a quantity, without an interval. */
function one(as: Quantity): (value: number) => string {
  switch (as) {
    case 'share':
      return share;
    case 'odds':
      return odds;
    case 'ln':
      return lnShare;
    case 'hours':
      return hours;
    case 'count':
      return (value) => plain(value, 1);
    case 'number':
      return (value) =>
        Number.isInteger(value) ? plain(value, 0) : Math.abs(value) < 1 ? plain(value, 3) : figures(value);
    default:
      return (value) => figures(value);
  }
}

/** The documentation of a table: each tidy column with what it holds and means, in the order of its columns. */
export function tableMeaning(made: TidyTable): TextTable {
  const keys = Object.keys(made.columns);
  return {
    caption: `${made.name}: ${counted(keys.length, 'column')}`,
    heads: ['Column', 'Holds', 'Meaning'].map((text) => ({ text, right: false })),
    rows: keys.map((key) => [key, made.columns[key]!, made.means[key]!]),
  };
}

type More<Row> = Pick<ColumnBase<Row>, 'tidyOnly' | 'unit'>;

/** A column of texts. */
export function text<Row, V extends string | null>(
  label: string,
  means: string,
  of: (row: Row) => V,
  more: More<NoInfer<Row>> = {},
) {
  return { label, means, of, ...more } as const;
}

/** A column of truths. */
export function truth<Row, V extends boolean | null>(
  label: string,
  means: string,
  of: (row: Row) => V,
  more: More<NoInfer<Row>> = {},
) {
  return { as: 'truth', label, means, of, ...more } as const;
}

/** A column of numbers without an interval. */
export function number<Row, V extends number | null, As extends Quantity>(
  as: As,
  [label, means]: readonly [label: string, means: string],
  of: (row: Row) => V,
  more: More<NoInfer<Row>> & Pick<NumberColumn<NoInfer<Row>>, 'digits'> = {},
) {
  return { as, label, means, of, ...more } as const;
}

/** A column of numbers with their intervals. */
export function measured<Row, As extends Quantity>(
  as: As,
  [label, means]: readonly [label: string, means: string],
  of: (row: Row) => WithI80 | null,
  more: More<NoInfer<Row>> & Pick<NumberColumn<NoInfer<Row>>, 'digits' | 'i95'> = {},
) {
  return {
    as,
    label,
    means,
    of: (row: Row) => middle(of(row)),
    i80: (row: Row) => of(row)?.i80 ?? NONE,
    ...more,
  } as const;
}

const NONE: Ends = Object.freeze([null, null] as const);

function middle(measured: WithI80 | null): number | null {
  return measured === null ? null : 'value' in measured ? measured.value : measured.median;
}

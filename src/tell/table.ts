/** What a cell may hold: a missing number is null here and NaN in a frame; a missing text is null in both. */
export type Cell = number | string | boolean | null;

/**
 * How a number is written. `gauge`: a value in the gauge's own unit; `ln`: a spread in ln units, written as a change in percent; `skill` and `share`: as
 * percentages; `time`: UTC milliseconds, to the minute; `day`: UTC milliseconds, to the day.
 */
export type Quantity =
  'number' | 'count' | 'share' | 'skill' | 'hours' | 'km' | 'ln' | 'nats' | 'gauge' | 'time' | 'day';

/** Everything that any writer has to know of a column, said once. */
export interface Column<Row, Value extends Cell = Cell> {
  readonly of: (row: Row) => Value;
  /** Head of the column, for people. */
  readonly label: string;
  /** What it means, in a sentence: the documentation of the table. */
  readonly means: string;
  /** For numbers; texts and truths need none. Default 'number'. */
  readonly as?: Quantity;
  /** The 80 % interval around the value: two further tidy columns (`…Low80`, `…High80`), one cell for people. */
  readonly i80?: (row: Row) => readonly [number | null, number | null];
  /** Only for machines: keys and the like that a heading already says to people. */
  readonly tidyOnly?: boolean;
}

export type Columns<Row> = Readonly<Record<string, Column<Row>>>;

/** The tidy row that follows from columns (without the ends of intervals). */
export type TidyRow<C extends Columns<never>> = { readonly [K in keyof C]: ReturnType<C[K]['of']> };

/** Rows, and columns that say how each is got, called, written and meant. Frames, CSV, terminal, Markdown, HTML and documentation follow from it. */
export interface Table<Row = unknown, C extends Columns<Row> = Columns<Row>> {
  readonly kind: 'table';
  /** Also the name of its frame. */
  readonly name: string;
  /** One line above it, for people. */
  readonly caption: string;
  readonly columns: C;
  readonly rows: readonly Row[];
}

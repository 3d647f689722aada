/** What a column holds. A missing number is null in rows and NaN in a frame; a missing text is null in both. */
export type ColumnType = 'number' | 'text' | 'truth';

export type TidyCell = number | string | boolean | null;

/** One row an observation, one column a variable; every row has every column, in this order. */
export interface TidyTable<Row extends object> {
  readonly kind: 'tidy-table';
  readonly name: string;
  readonly columns: { readonly [Key in keyof Row]: ColumnType };
  readonly rows: readonly Row[];
}

/** A frozen tidy table. */
export function tidyTable<Row extends object>(
  name: string,
  columns: { readonly [Key in keyof Row]: ColumnType },
  rows: readonly Row[],
): TidyTable<Row> {
  return Object.freeze({ kind: 'tidy-table' as const, name, columns, rows: Object.freeze([...rows]) });
}

import type { TidyTable } from '../../tell/table.js';

/** What of the library is used. */
interface Writer {
  parquetWriteBuffer(of: {
    columnData: { name: string; data: unknown[]; type: 'STRING' | 'DOUBLE' | 'BOOLEAN'; nullable: boolean }[];
  }): ArrayBuffer;
}

const TYPES = { text: 'STRING', number: 'DOUBLE', truth: 'BOOLEAN' } as const;

/**
 * A tidy table as a Parquet file, by the library hyparquet-writer.
 * @returns undefined where that library is not installed
 */
export async function parquetOf({
  columns,
  rows,
}: Pick<TidyTable, 'columns' | 'rows'>): Promise<Uint8Array | undefined> {
  const name = 'hyparquet-writer';
  const library = (await import(name).catch(() => undefined)) as Writer | undefined;
  if (library === undefined) return undefined;
  const columnData = Object.entries(columns).map(([key, type]) => ({
    name: key,
    data: rows.map((row) => row[key] ?? undefined),
    type: TYPES[type],
    nullable: true,
  }));
  return new Uint8Array(library.parquetWriteBuffer({ columnData }));
}

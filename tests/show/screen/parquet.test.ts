import { describe, expect, it } from 'vitest';
import { parquetReadObjects } from 'hyparquet';
import { parquetOf } from '../../../src/show/screen/parquet.js';
import type { TidyTable } from '../../../src/tell/table.js';

describe('a tidy table as Parquet', () => {
  it('reads back as it was, by another library: texts, numbers, truths, and what is missing', async () => {
    const rows = [
      { run: 'main', p: 0.25, passed: true },
      { run: 'äußere', p: null, passed: false },
    ];
    const table = { columns: { run: 'text', p: 'number', passed: 'truth' }, rows } as unknown as TidyTable;
    const bytes = (await parquetOf(table))!;
    expect(new TextDecoder().decode(bytes.slice(0, 4))).toBe('PAR1');
    const back = await parquetReadObjects({ file: bytes.slice().buffer });
    expect(back.map((row) => ({ ...row, p: row['p'] ?? null }))).toEqual(rows);
  });
});

import { describe, expect, it } from 'vitest';
import { readGauge } from '../../src/read/readGauge.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { gauge, HOUR, pairs, said, T0 } from './recordExample.js';

describe('readGauge', () => {
  const csv: Gauge = {
    ...gauge,
    format: 'delimited',
    columns: { time: 'time', value: 'value' },
    files: ['a.csv', 'b.csv'],
  };
  it('joins files, counts lost rows, and says which file is missing', () => {
    const a = textFile('a.csv', 'time,value\n2024-01-01T00:00Z,1\nsoon,2\n2024-01-01T01:00Z,x\n');
    const b = textFile('b.csv', 'time,value\n2024-01-01T02:00Z,3\n');
    const both = readGauge(csv, [b, a], 'UTC');
    expect(pairs(both.record)).toEqual([
      [0, 1],
      [1, NaN],
      [2, 3],
    ]);
    expect([both.rowsIn, both.rowsUsed]).toEqual([4, 2]);
    expect(both.issues.map((issue) => issue.code)).toEqual(['time-unreadable', 'value-unreadable']);
    const one = readGauge(csv, [a], 'UTC');
    expect(one.record).toBeUndefined();
    expect(said(one.issues).at(-1)).toBe(
      "fatal b.csv: found no such file, expected a file of gauge 'big'. Put the download there, or correct files in creek.json.",
    );
  });
  describe('a file whose values cannot be read', () => {
    const readCells = (cells: readonly string[], more: Partial<Gauge> = {}) =>
      readGauge(
        { ...csv, delimiter: ';', files: ['a.csv'], ...more },
        [
          textFile(
            'a.csv',
            `time;value\n${cells.map((cell, i) => `${new Date(T0 + i * HOUR).toISOString()};${cell}`).join('\n')}\n`,
          ),
        ],
        'UTC',
      );
    it.each([
      ['2,41', undefined, "Set decimalMark to ',' for the gauge in creek.json."],
      ['2.41', ',', "Set decimalMark to '.' for the gauge in creek.json."],
      [
        '1.250,5',
        ',',
        'Export the file again without marks between thousands, and set decimalMark to the mark of its decimals.',
      ],
      ['2.41 m', '.', 'Export the file again with the unit in the header and not in each cell.'],
      ['2024-01-01', '.', 'These look like times: correct columns.value of the gauge in creek.json.'],
      [
        'good',
        '.',
        'Check that columns.value of the gauge in creek.json names the column of the readings; if the cells mean "no value", add them to missing.',
      ],
    ] as const)('all like %s with decimalMark %s: one warning that counts every row', (cell, decimalMark, hint) => {
      const built = readCells(Array<string>(300).fill(cell), decimalMark === undefined ? {} : { decimalMark });
      expect(said(built.issues)).toEqual([
        `warning a.csv row 2, column value: found not one readable value, but values such as '${cell}', expected numbers (300 rows). ${hint}`,
      ]);
      expect([built.rowsIn, built.rowsUsed]).toEqual([300, 0]);
    });
    it('empty cells among them stay missing, each listed', () => {
      expect(said(readCells(['2,41', '', '2,43']).issues)).toEqual([
        "warning a.csv row 2, column value: found not one readable value, but values such as '2,41', expected numbers (2 rows). Set decimalMark to ',' for the gauge in creek.json.",
        'warning a.csv row 3, column value: found no value, expected a reading. At 2024-01-01T01:00Z.',
      ]);
    });
    it('a few whole numbers among decimal commas: five warnings, and one for the rest', () => {
      const cells = Array.from({ length: 1000 }, (_, i) => (i % 100 === 0 ? '3' : `2,${i}`));
      const { issues, rowsIn, rowsUsed } = readCells(cells);
      expect(said(issues).slice(4)).toEqual([
        "warning a.csv row 7, column value: found '2,5', expected a number. If this is a decimal comma, set decimalMark to ',' for the gauge in creek.json. At 2024-01-01T05:00Z.",
        "warning a.csv row 8, column value: found '2,6', '2,7', '2,8' and others, expected a number (985 rows). This stands for 985 further places like the 5 above, down to row 1001. Mend the cause of those first.",
      ]);
      expect([rowsIn, rowsUsed]).toEqual([1000, 10]);
      expect(issues.reduce((sum, { count }) => sum + (count ?? 1), 0)).toBe(990);
    });
  });
  it('does not join files of different sites', () => {
    const rdb = (site: string) =>
      textFile(
        `${site}.rdb`,
        `agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\nX\t${site}\t2024-01-01 00:00\tUTC\t1\tA\n`,
      );
    const built = readGauge({ ...gauge, unit: 'ft3/s', files: ['01.rdb', '02.rdb'] }, [rdb('01'), rdb('02')], 'UTC');
    expect(built.record).toBeUndefined();
    expect(said(built.issues)).toEqual([
      "fatal 02.rdb: found series '02 1_00060', where 01.rdb has '01 1_00060', expected one series in all files of gauge 'big'. Give each series a gauge of its own in creek.json.",
    ]);
  });
});

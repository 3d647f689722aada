import { describe, expect, it } from 'vitest';
import { readGauge } from '../../src/read/readGauge.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { gauge, pairs, said } from './recordExample.js';

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

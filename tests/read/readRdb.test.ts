import { describe, expect, it } from 'vitest';
import { readRdb } from '../../src/read/readRdb.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { base, sentences, table } from './gaugeExample.js';

describe('readRdb', () => {
  const read = (text: string, zone = 'America/New_York', more: Partial<Gauge> = {}) =>
    readRdb(textFile('f.rdb', text), { ...base, ...more }, zone);
  const HEAD = [
    '#    TS_ID       Parameter    Description',
    '#    7   00060     Discharge, cubic feet per second',
    '#',
    'agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd',
    '5s\t15s\t20d\t6s\t14n\t10s',
  ];
  const rdb = (...rows: string[]) => [...HEAD, ...rows].join('\n');
  const row = (time: string, zone: string, value: string, code: string, site = '0101') =>
    `XX\t${site}\t${time}\t${zone}\t${value}\t${code}`;

  it('reads rows by the zone code of each', () => {
    const { series, issues } = read(
      rdb(
        row('2024-11-03 01:30', 'EDT', '5', 'A'),
        row('2024-11-03 01:30', 'EST', '6.5', 'P'),
        row('2024-11-03 06:30', 'UTC', '7', 'P'),
      ),
    );
    expect(issues).toEqual([]);
    expect(series).toHaveLength(1);
    expect(series[0]).toMatchObject({
      key: '0101 7_00060',
      site: '0101',
      parameterCode: '00060',
      column: '7_00060',
      unitText: 'cubic feet per second',
      tellsApproval: true,
    });
    expect(table(series[0])).toEqual([
      ['2024-11-03T05:30', 5, 'A', 6],
      ['2024-11-03T06:30', 6.5, 'P', 7],
      ['2024-11-03T06:30', 7, 'P', 8],
    ]);
  });

  it('flags, sentinels and glued flags', () => {
    const { series, issues } = read(
      rdb(
        row('2024-01-01 00:00', 'EST', 'Ice', 'P'),
        row('2024-01-01 00:15', 'EST', 'Eqp', 'P:Eqp'),
        row('2024-01-01 00:30', 'EST', '***', 'P'),
        row('2024-01-01 00:45', 'EST', '-999999', 'P'),
        row('2024-01-01 01:00', 'EST', '', ''),
        row('2024-01-01 01:15', 'EST', '350e', 'A'),
        row('2024-01-01 01:30', 'EST', '3..5', 'A'),
        row('2024-01-01 01:45', 'EST', '-12', 'A'),
      ),
    );
    expect(issues).toEqual([]);
    expect(table(series[0]).map(([, value, code]) => [value, code])).toEqual([
      [NaN, 'P:Ice'],
      [NaN, 'P:Eqp'],
      [NaN, 'P:***'],
      [NaN, 'P'],
      [NaN, ''],
      [350, 'A:e'],
      [NaN, 'A'],
      [-12, 'A'],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[6, '3..5']]));
  });

  it('lists rows it cannot use and goes on', () => {
    const result = read(
      rdb(
        row('2024-01-01 00:00', 'EST', '1', 'A'),
        row('2024-01-01 00:15', 'QST', '1', 'A'),
        row('2024-01-01 00:30', 'QST', '1', 'A'),
        row('yesterday', 'EST', '1', 'A'),
        'XX\t0101',
        `${row('2024-01-01 01:00', 'EST', '1', 'A')}\t9`,
        `${row('2024-01-01 01:15', 'EST', '2', 'A')}\t`,
        'XX\t0101\t2024-01-01 01:30\tEST\t3',
      ),
    );
    expect(sentences(result)).toEqual([
      "warning f.rdb row 7, column tz_cd: found 'QST', expected a zone code such as EST, EDT or UTC (2 rows). The row is not used, as its hour is not known.",
      "warning f.rdb row 9, column datetime: found 'yesterday', expected a time such as 2024-04-28 14:30.",
      'warning f.rdb row 10: found 2 cells, expected 6 cells separated by tabs. Download the file again, or remove the row.',
      'warning f.rdb row 11: found more than 6 cells, expected 6 cells separated by tabs. Download the file again, or remove the row.',
    ]);
    expect(table(result.series[0]).map(([time, value, code]) => `${time} ${value} ${code}`)).toEqual([
      '2024-01-01T05:00 1 A',
      '2024-01-01T06:15 2 A',
      '2024-01-01T06:30 3 ',
    ]);
  });

  it('rows without a zone code are local, with the doubled hour told apart', () => {
    const result = read(
      rdb(
        row('2024-11-03 01:00', '', '1', 'A'),
        row('2024-11-03 01:30', '', '2', 'A'),
        row('2024-11-03 01:00', '', '3', 'A'),
        row('2024-11-03 02:00', '', '4', 'A'),
      ),
    );
    expect(table(result.series[0]).map(([time]) => time)).toEqual([
      '2024-11-03T05:00',
      '2024-11-03T05:30',
      '2024-11-03T06:00',
      '2024-11-03T07:00',
    ]);
    expect(result.issues).toMatchObject([{ code: 'time-ambiguous', severity: 'note', count: 3, row: 6 }]);
  });

  it('daily values stand at local noon', () => {
    const text =
      'agency_cd\tsite_no\tdatetime\t3_00060_00003\t3_00060_00003_cd\n5s\t15s\t20d\t14n\t10s\nXX\t0101\t2024-01-15\t5\tA\nXX\t0101\t2024-07-15\t6\tA:e\n';
    const { series } = read(text);
    expect(table(series[0])).toEqual([
      ['2024-01-15T17:00', 5, 'A', 3],
      ['2024-07-15T16:00', 6, 'A:e', 4],
    ]);
    expect(series[0]).toMatchObject({ parameterCode: '00060', statisticCode: '00003', key: '0101 3_00060_00003' });
    expect(series[0]!.unitText).toBeUndefined();
  });

  it('several blocks, sites in one block, several value columns; pieces of one series are joined', () => {
    const text = [
      '# first',
      'agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd\t2_00065\t2_00065_cd',
      '5s\t15s\t20d\t6s\t14n\t10s\t14n\t10s',
      'XX\t01\t2024-01-01 00:00\tUTC\t10\tA\t1.0\tP',
      'XX\t02\t2024-01-01 00:00\tUTC\t20\tA\t2.0\tP',
      'XX\t01\t2024-01-01 01:00\tUTC\tx!\tA\t1.1\tP',
      '# second',
      '#',
      'agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd',
      '5s\t15s\t20d\t6s\t14n\t10s',
      'XX\t01\t2024-01-01 02:00\tUTC\t12\tP',
      '',
    ].join('\r\n');
    const { series, issues } = read(text);
    expect(issues).toEqual([]);
    expect(series.map((one) => one.key)).toEqual(['01 1_00060', '01 2_00065', '02 1_00060', '02 2_00065']);
    expect(table(series[0])).toEqual([
      ['2024-01-01T00:00', 10, 'A', 4],
      ['2024-01-01T01:00', NaN, 'A', 6],
      ['2024-01-01T02:00', 12, 'P', 11],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[1, 'x!']]));
    expect(table(series[3])).toEqual([['2024-01-01T00:00', 2, 'P', 5]]);
  });

  it.each([
    ['agency_cd\tsite_no\tpeak_dt\tpeak_tm\tpeak_va\n5s\t15s\t10d\t6s\t8s\n', 'a table of annual peaks'],
    ['INDEP\tSHIFT\tDEP\tSTOR\n16N\t16N\t16N\t1S\n', 'a rating table (stage against discharge)'],
    ['agency_cd\tsite_no\tstation_nm\tsite_tp_cd\n5s\t15s\t50s\t7s\n', 'a list of sites'],
    ['agency_cd\tsite_no\tmeasurement_nu\tmeasurement_dt\n5s\t15s\t6s\t19d\n', 'a list of discharge measurements'],
    ['agency_cd\tsite_no\tmonth_nu\tday_nu\tmean_va\n5s\t15s\t3n\t3n\t12n\n', 'a table of statistics'],
    ['a\tb\tc\n5s\t5s\t5s\n', 'a table without a datetime column (a, b, c …)'],
    ['agency_cd\tsite_no\tdatetime\n5s\t15s\t20d\n', 'a table without a value column'],
  ])('refuses %j', (text, what) => {
    const result = read(`# comment\n${text}XX\t01\t2024-01-01\t1\n`);
    expect(result.series).toEqual([]);
    expect(sentences(result)).toEqual([
      `fatal f.rdb row 2: found ${what}, expected RDB with instantaneous or daily values. Download instantaneous (unit) or daily values of the site in the same tab-delimited format.`,
    ]);
  });

  it('refuses what is no RDB, and downloads that found nothing', () => {
    expect(sentences(read('<!DOCTYPE html><html>\n'))[0]).toBe(
      'fatal f.rdb row 1: found a web page or XML, expected RDB with instantaneous or daily values. Set format to what the file is, for example delimited.',
    );
    expect(sentences(read('time,value\n2024-01-01,1\n'))[0]).toBe(
      "fatal f.rdb row 1: found a row 'time,value' with no type row (such as 5s 15s 20d) under it, expected RDB with instantaneous or daily values. Set format to what the file is, for example delimited.",
    );
    expect(sentences(read('#  No sites/data found using the selection criteria specified\n'))).toEqual([
      "fatal f.rdb: found the note 'No sites/data found using the selection criteria specified', expected RDB with instantaneous or daily values. The download holds no data: check site, parameter and dates.",
    ]);
    expect(sentences(read(''))).toEqual([
      'fatal f.rdb: found no table, expected RDB with instantaneous or daily values. The download holds no data: check site, parameter and dates.',
    ]);
  });

  it('a header without rows is a series without rows', () => {
    const { series, issues } = read(rdb());
    expect(issues).toEqual([]);
    expect(series.map((one) => [one.key, one.timesMs.length])).toEqual([['7_00060', 0]]);
  });
});

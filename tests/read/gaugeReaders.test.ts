import { describe, expect, it } from 'vitest';
import { readDelimited } from '../../src/read/readDelimited.js';
import { readRdb } from '../../src/read/readRdb.js';
import { readWaterml1 } from '../../src/read/readWaterml1.js';
import { readWaterml2 } from '../../src/read/readWaterml2.js';
import type { GaugeRead } from '../../src/read/types.js';
import type { Gauge } from '../../src/series/creek.js';
import type { RawSeries } from '../../src/series/gaugeRecord.js';
import { issueSentence } from '../../src/series/issue.js';
import { textFile } from './creekExample.js';

const base: Gauge = { id: 'g', name: 'gauge', parameter: 'discharge', unit: 'ft3/s', files: ['f'], format: 'rdb' };
const utc = (ms: number) => new Date(ms).toISOString().slice(0, 16);
const sentences = (read: GaugeRead) => read.issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);
/** `time value code row` of every row. */
const table = (series: RawSeries | undefined) =>
  Array.from(series!.timesMs, (ms, i) => [utc(ms), series!.values[i], series!.codes[i], series!.rows[i]]);

describe('readDelimited', () => {
  const gauge: Gauge = {
    ...base,
    format: 'delimited',
    unit: 'm3/s',
    columns: { time: 'time', value: 'value', quality: 'q' },
  };
  const read = (text: string, more: Partial<Gauge> = {}, zone = 'UTC') =>
    readDelimited(textFile('f.csv', text), { ...gauge, ...more }, zone);

  it('reads times with and without offsets, blanks around cells, quotes, CRLF, a last line without a break', () => {
    const { series, issues } = read(
      'time, value ,q\r\n2024-01-01T10:00Z, 1.5 ,A\r\n"2024-01-01 11:00","2","B, c"\r\n\r\n2024-01-01T12:00+05:45,.5,A',
      {},
      'America/Denver',
    );
    expect(issues).toEqual([]);
    expect(table(series[0])).toEqual([
      ['2024-01-01T10:00', 1.5, 'A', 2],
      ['2024-01-01T18:00', 2, 'B, c', 3],
      ['2024-01-01T06:15', 0.5, 'A', 5],
    ]);
    expect(series[0]).toMatchObject({ key: 'value', column: 'value' });
  });

  it('takes the zone of the gauge before the default', () => {
    const { series } = read('time,value,q\n2024-07-01T12:00,1,', { timeZone: 'Etc/GMT+7' }, 'Europe/London');
    expect(utc(series[0]!.timesMs[0]!)).toBe('2024-07-01T19:00');
  });

  it('reads header blocks, semicolons, decimal commas, day-first dates, split date and clock', () => {
    const text =
      'Station;X\nOwner;"a;b"\nDay;Clock;Flow (m3/s);Q\n01.12.2024;9:15;1,25;G\n01.12.2024;10:15;1.250,5;G\n';
    const { series, issues } = read(text, {
      skipLines: 2,
      delimiter: ';',
      decimalMark: ',',
      datePattern: 'dd.MM.yyyy HH:mm',
      columns: { date: 'Day', clock: 'Clock', value: 'Flow (m3/s)', quality: 'Q' },
    });
    expect(issues).toEqual([]);
    expect(table(series[0])).toEqual([
      ['2024-12-01T09:15', 1.25, 'G', 4],
      ['2024-12-01T10:15', NaN, 'G', 5],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[1, '1.250,5']]));
    expect(series[0]!.unitText).toBe('m3/s');
  });

  it('reads ISO dates and clocks from two columns', () => {
    const { series } = read('d,c,value\n2024-01-01,10:00,1\n', { columns: { date: 'd', clock: 'c', value: 'value' } });
    expect(table(series[0])).toEqual([['2024-01-01T10:00', 1, '', 2]]);
  });

  it('puts daily values at local noon, summer and winter', () => {
    const { series } = read(
      'd,value\n2024-01-01,1\n2024-07-01,2\n',
      { columns: { date: 'd', value: 'value' } },
      'America/Denver',
    );
    expect(table(series[0]).map(([time]) => time)).toEqual(['2024-01-01T19:00', '2024-07-01T18:00']);
  });

  it('tells missing tokens from text that is no number; a number token also when written otherwise', () => {
    const { series } = read(
      'time,value,q\n2024-01-01T00:00Z,,\n2024-01-01T01:00Z,---,\n2024-01-01T02:00Z,-999.00,\n2024-01-01T03:00Z,n/a,\n',
      {
        missing: ['---', '-999'],
      },
    );
    expect(Array.from(series[0]!.values)).toEqual([NaN, NaN, NaN, NaN]);
    expect(series[0]!.unreadable).toEqual(new Map([[3, 'n/a']]));
  });

  it('stops at the text after the data', () => {
    const { series, issues } = read('time,value,q\n2024-01-01T00:00Z,1,\n\n  NOTICE\n"not, a row"\n', {
      stopAt: 'NOTICE',
    });
    expect(issues).toEqual([]);
    expect(series[0]!.timesMs.length).toBe(1);
  });

  it('lists rows it cannot use, folded, and goes on', () => {
    const result = read(
      'time,value,q\n2024-01-01T00:00Z,1,\nend\nend\n01/02/2024,2,\n"2024-01-01T01:00Z,2,\n2024-01-01T02:00Z,3,\n',
    );
    expect(sentences(result)).toEqual([
      "warning f.csv row 3: found 1 cells, expected at least 3 cells separated by ',' (2 rows). If the data end before this row, give the text this row begins with as stopAt.",
      "warning f.csv row 5, column time: found '01/02/2024', expected a time in ISO 8601, such as 2024-04-28T14:30. Set datePattern to the way the file writes its times, or stopAt to the text after the data.",
      "warning f.csv row 6: found a quote that is not closed on its line, expected at least 3 cells separated by ','. If the data end before this row, give the text this row begins with as stopAt.",
    ]);
    expect(table(result.series[0]).map(([time]) => time)).toEqual(['2024-01-01T00:00', '2024-01-01T02:00']);
  });

  it('names the columns it found where one is missing', () => {
    expect(sentences(read('Time,value,q\n'))).toEqual([
      "fatal f.csv row 1, column time: found columns 'Time', 'value', 'q', expected a column named 'time'. Did you mean 'Time'? Check skipLines (lines before the header row), encoding and the column names.",
    ]);
    expect(sentences(read('time;value;q\n'))[0]).toBe(
      "fatal f.csv row 1, column time: found columns 'time;value;q', expected a column named 'time'. The row is not cut by ',': check delimiter and skipLines.",
    );
    expect(read('', { skipLines: 3 }).issues).toHaveLength(3);
  });

  it('tabs and blanks as delimiters', () => {
    expect(table(read('time\tvalue\tq\n2024-01-01T00:00Z\t1\t\n', { delimiter: '\t' }).series[0])).toEqual([
      ['2024-01-01T00:00', 1, '', 2],
    ]);
    expect(table(read('time value q\n2024-01-01T00:00Z 1 A\n', { delimiter: ' ' }).series[0])).toEqual([
      ['2024-01-01T00:00', 1, 'A', 2],
    ]);
  });

  it('misuse throws', () => {
    expect(() => readDelimited(textFile('f', ''), { ...base, format: 'delimited' }, 'UTC')).toThrow(
      new TypeError("readDelimited: gauge 'g' has no columns.value with columns.time or columns.date"),
    );
  });

  describe('the two nights, London', () => {
    const rows = (...times: string[]) => ['time,value,q', ...times.map((time, i) => `${time},${i},`)].join('\n');
    it('autumn: both passes of the hour in the file are told apart by their order', () => {
      const result = read(
        rows(
          '2024-10-27T00:30',
          '2024-10-27T01:00',
          '2024-10-27T01:30',
          '2024-10-27T01:00',
          '2024-10-27T01:30',
          '2024-10-27T02:00',
        ),
        {},
        'Europe/London',
      );
      expect(table(result.series[0]).map(([time, value]) => `${time} ${value}`)).toEqual([
        '2024-10-26T23:30 0',
        '2024-10-27T00:00 1',
        '2024-10-27T00:30 2',
        '2024-10-27T01:00 3',
        '2024-10-27T01:30 4',
        '2024-10-27T02:00 5',
      ]);
      expect(sentences(result)).toEqual([
        'note f.csv row 3, column time: found times in the doubled hour of 2024-10-27, expected each pass once, in order (4 rows). The clock steps back once, so the rows before are the first pass and those after it the second.',
      ]);
    });
    it('autumn: hourly rows that say 01:00 twice', () => {
      const { series } = read(
        rows('2024-10-27T00:00', '2024-10-27T01:00', '2024-10-27T01:00', '2024-10-27T02:00'),
        {},
        'Europe/London',
      );
      expect(table(series[0]).map(([time]) => time)).toEqual([
        '2024-10-26T23:00',
        '2024-10-27T00:00',
        '2024-10-27T01:00',
        '2024-10-27T02:00',
      ]);
    });
    it('autumn: a file that runs backwards', () => {
      const { series } = read(
        rows(
          '2024-10-27T02:00',
          '2024-10-27T01:30',
          '2024-10-27T01:00',
          '2024-10-27T01:30',
          '2024-10-27T01:00',
          '2024-10-27T00:30',
        ),
        {},
        'Europe/London',
      );
      expect(table(series[0]).map(([time]) => time)).toEqual([
        '2024-10-27T02:00',
        '2024-10-27T01:30',
        '2024-10-27T01:00',
        '2024-10-27T00:30',
        '2024-10-27T00:00',
        '2024-10-26T23:30',
      ]);
    });
    it('autumn: one pass only could be either, and is refused', () => {
      const result = read(
        rows('2024-10-27T00:30', '2024-10-27T01:00', '2024-10-27T01:30', '2024-10-27T02:00'),
        {},
        'Europe/London',
      );
      expect(table(result.series[0]).map(([time, value]) => `${time} ${value}`)).toEqual([
        '2024-10-26T23:30 0',
        '2024-10-27T02:00 3',
      ]);
      expect(sentences(result)).toEqual([
        "warning f.csv row 3, column time: found times in the doubled hour of 2024-10-27, expected both passes of the hour, or an offset (2 rows). Either pass could be meant, so the rows are not used. If the file keeps one offset all year, give that as the gauge's timeZone, e.g. Etc/GMT+5.",
      ]);
    });
    it('spring: the skipped hour is refused', () => {
      const result = read(
        rows('2024-03-31T00:30', '2024-03-31T01:00', '2024-03-31T01:30', '2024-03-31T02:00'),
        {},
        'Europe/London',
      );
      expect(table(result.series[0]).map(([time]) => time)).toEqual(['2024-03-31T00:30', '2024-03-31T01:00']);
      expect(sentences(result)).toEqual([
        "warning f.csv row 3, column time: found a time in the hour skipped on 2024-03-31, expected a time that the clocks of Europe/London showed (2 rows). If the file keeps one offset all year, give that as the gauge's timeZone, e.g. Etc/GMT+5.",
      ]);
    });
    it('a file that keeps GMT all year has no such nights', () => {
      const { series, issues } = read(
        rows('2024-03-31T01:30', '2024-10-27T01:30'),
        { timeZone: 'UTC' },
        'Europe/London',
      );
      expect(issues).toEqual([]);
      expect(series[0]!.timesMs.length).toBe(2);
    });
    it('unreadable cells keep their place when a row before them is left out', () => {
      const { series } = read('time,value,q\n2024-03-31T01:30,1,\n2024-03-31T02:00,x,\n', {}, 'Europe/London');
      expect(series[0]!.unreadable).toEqual(new Map([[0, 'x']]));
      expect(table(series[0])).toEqual([['2024-03-31T01:00', NaN, '', 3]]);
    });
  });
});

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

describe('readWaterml1', () => {
  const gauge: Gauge = { ...base, format: 'waterml1' };
  const read = (text: string, zone = 'America/New_York') => readWaterml1(textFile('f.xml', text), gauge, zone);
  const xml = (values: string, { statistic = '00000', head = '' } = {}) =>
    `<?xml version="1.0"?>${head}<w:timeSeriesResponse xmlns:w="x"><w:timeSeries name="N"><w:sourceInfo><w:siteCode network="n" agencyCode="USGS">01</w:siteCode></w:sourceInfo>` +
    `<w:variable><w:variableCode>00060</w:variableCode><w:unit><w:unitCode>ft3/s</w:unitCode></w:unit><w:options><w:option name="Statistic" optionCode="${statistic}"/></w:options>` +
    `<w:noDataValue>-999999.0</w:noDataValue></w:variable>${values}</w:timeSeries></w:timeSeriesResponse>`;

  it('reads plain and odd ways to write a value alike', () => {
    const { series, issues } = read(
      xml(
        `<w:values>
          <w:value qualifiers="P" dateTime="2024-01-01T00:00:00.000-05:00">1</w:value>
          <w:value dateTime='2024-01-01T01:00:00.000-05:00' qualifiers='P Ice'>-999999</w:value><!-- a > remark <w:value>9</w:value> -->
          <w:value qualifiers="A" dateTime="2024-01-01T02:00:00" timeOffset="-05:00"> 2.5 </w:value>
          <w:value qualifiers="A" note="1 > 0" dateTime="2024-01-01T03:00:00-05:00"><![CDATA[3]]></w:value>
          <w:value qualifiers="A" dateTime="2024-01-01T04:00:00-05:00"/>
          <w:value censorCode="lt" dateTime="2024-01-01T05:00:00-05:00">4</w:value>
          <w:value censorCode="nc" dateTime="2024-01-01T06:00:00-05:00">about 5</w:value>
          <w:qualifier/><w:method methodID="1"/></w:values>`,
      ),
    );
    expect(issues).toEqual([]);
    expect(series[0]).toMatchObject({
      key: 'N [0]',
      site: '01',
      parameterCode: '00060',
      statisticCode: '00000',
      unitText: 'ft3/s',
      tellsApproval: true,
    });
    expect(table(series[0])).toEqual([
      ['2024-01-01T05:00', 1, 'P', 0],
      ['2024-01-01T06:00', NaN, 'P Ice', 0],
      ['2024-01-01T07:00', 2.5, 'A', 0],
      ['2024-01-01T08:00', 3, 'A', 0],
      ['2024-01-01T09:00', NaN, 'A', 0],
      ['2024-01-01T10:00', 4, '<', 0],
      ['2024-01-01T11:00', NaN, '', 0],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[6, 'about 5']]));
  });

  it('each values element is a series; daily statistics stand at noon', () => {
    const day = (value: number) =>
      `<w:values><w:value dateTime="2024-07-01T00:00:00.000">${value}</w:value></w:values>`;
    const { series } = read(xml(day(1) + day(2), { statistic: '00003' }));
    expect(series.map((one) => [one.key, utc(one.timesMs[0]!), one.values[0]])).toEqual([
      ['N [0]', '2024-07-01T16:00', 1],
      ['N [1]', '2024-07-01T16:00', 2],
    ]);
    expect(utc(read(xml(day(1))).series[0]!.timesMs[0]!)).toBe('2024-07-01T04:00');
  });

  it('lists readings without a readable time', () => {
    const result = read(
      xml(
        '<w:values><w:value>1</w:value><w:value dateTime="soon">2</w:value><w:value dateTime="2024-01-01T00:00Z">3</w:value></w:values>',
      ),
    );
    expect(sentences(result)).toEqual([
      'warning f.xml: found a reading without a time, expected a time such as 2024-04-28T14:30:00-07:00.',
      "warning f.xml: found 'soon', expected a time such as 2024-04-28T14:30:00-07:00.",
    ]);
    expect(result.series[0]!.timesMs.length).toBe(1);
  });

  it.each([
    ['a web page', '<html><body>busy</body></html>', 'XML with the root html'],
    ['a cut-off download', xml('<w:values><w:value dateTime="2024-01-01T00:00Z">1</w:value>').slice(0, -60), undefined],
    [
      'a cut-off reading',
      xml('<w:values><w:value dateTime="2024-01-01T00:00Z">1</w:value><w:value dateTime="2024').slice(0, -60),
      undefined,
    ],
    [
      'a document type',
      xml('<w:values/>', { head: '<!DOCTYPE a [<!ENTITY b "c">]>' }),
      'XML with a document type declaration',
    ],
    ['no series', '<timeSeriesResponse></timeSeriesResponse>', 'a timeSeriesResponse without a timeSeries'],
    ['cut-off JSON', '{"value":', 'JSON that breaks off or is not well-formed'],
    ['other JSON', '{"a":1}', 'JSON without value.timeSeries'],
    [
      'JSON without a series',
      '{"value":{"timeSeries":[]}}',
      'a response without a series (nothing was found for the site and dates asked)',
    ],
  ])('refuses %s', (_, text, found) => {
    const result = read(text);
    expect(result.series).toEqual([]);
    expect(result.issues).toMatchObject([{ code: 'wrong-format', severity: 'fatal' }]);
    if (found === undefined) expect(result.issues[0]!.found).toMatch(/^XML that breaks off or is not well-formed/);
    else expect(result.issues[0]!.found).toBe(found);
  });

  it('reads the JSON form, also with parts missing', () => {
    const json = JSON.stringify({
      value: {
        timeSeries: [
          {
            name: 'N',
            variable: { variableCode: [{ value: '00065' }], unit: { unitCode: 'ft' }, noDataValue: -999999 },
            values: [
              {
                value: [
                  { value: '1.5', qualifiers: ['P', 'e'], dateTime: '2024-01-01T00:00:00.000-05:00' },
                  { value: '-999999', qualifiers: [], dateTime: '2024-01-01T01:00:00.000-05:00' },
                  {},
                ],
              },
            ],
          },
          {},
        ],
      },
    });
    const { series, issues } = read(json);
    expect(series).toHaveLength(1);
    expect(table(series[0])).toEqual([
      ['2024-01-01T05:00', 1.5, 'P e', 0],
      ['2024-01-01T06:00', NaN, '', 0],
    ]);
    expect(series[0]!.tellsApproval).toBe(false);
    expect(issues).toMatchObject([{ code: 'time-unreadable', found: 'a reading without a time' }]);
  });
});

describe('readWaterml2', () => {
  const gauge: Gauge = { ...base, format: 'waterml2', unit: 'm3/s' };
  const read = (text: string, zone = 'Europe/London') => readWaterml2(textFile('f.xml', text), gauge, zone);
  const tvp = (inner: string) => `<w:point><w:MeasurementTVP>${inner}</w:MeasurementTVP></w:point>\n`;
  const quality = (code: string) =>
    `<w:metadata><w:TVPMeasurementMetadata><w:qualifier><s:Category><s:value>${code}</s:value></s:Category></w:qualifier></w:TVPMeasurementMetadata></w:metadata>`;
  const observation = (points: string, more = '') =>
    `<w:observationMember><o:OM_Observation>${more}<o:observedProperty x:href="http://x/property/flow"/><o:featureOfInterest><w:MonitoringPoint><g:identifier>st-7</g:identifier></w:MonitoringPoint></o:featureOfInterest>` +
    `<o:result><w:MeasurementTimeseries><w:defaultPointMetadata><w:DefaultTVPMeasurementMetadata><w:quality x:href="http://x/quality/good"/><w:uom code="m3/s"/></w:DefaultTVPMeasurementMetadata></w:defaultPointMetadata>${points}</w:MeasurementTimeseries></o:result></o:OM_Observation></w:observationMember>`;
  const collection = (...observations: string[]) =>
    `<?xml version="1.0"?><w:Collection>${observations.join('')}</w:Collection>`;

  it('reads plain and odd points alike, with their own code or the default', () => {
    const { series, issues } = read(
      collection(
        observation(
          tvp('<w:time>2024-07-01T10:00:00Z</w:time><w:value>1.5</w:value>') +
            tvp(`<w:time>2024-07-01T11:00:00</w:time><w:value>2</w:value>${quality('P')}`) +
            tvp(`<w:time>2024-07-01</w:time><w:value>3</w:value>${quality('P')}`) +
            tvp(`${quality('E')}<w:value>4</w:value><w:time>2024-07-01T12:00:00Z</w:time>`) +
            tvp('<w:time>2024-07-01T13:00:00Z</w:time><w:value xsi:nil="true" nilReason="ice"/>') +
            tvp('<w:time>2024-07-01T14:00:00Z</w:time><w:value/>') +
            tvp(quality('')) +
            tvp('<w:time>2024-07-01T15:00:00Z</w:time><w:value>five</w:value>') +
            tvp('<w:value>6</w:value>'),
        ),
      ),
    );
    expect(series[0]).toMatchObject({
      key: 'st-7 flow',
      site: 'st-7',
      parameterCode: 'flow',
      unitText: 'm3/s',
      tellsApproval: false,
    });
    expect(table(series[0])).toEqual([
      ['2024-07-01T10:00', 1.5, 'good', 0],
      ['2024-07-01T10:00', 2, 'P', 0],
      ['2024-07-01T11:00', 3, 'P', 0],
      ['2024-07-01T12:00', 4, 'E', 0],
      ['2024-07-01T13:00', NaN, 'ice', 0],
      ['2024-07-01T14:00', NaN, 'good', 0],
      ['2024-07-01T15:00', NaN, 'good', 0],
    ]);
    expect(series[0]!.unreadable).toEqual(new Map([[6, 'five']]));
    expect(issues).toMatchObject([{ code: 'time-unreadable', found: 'a reading without a time', severity: 'warning' }]);
  });

  it('several observations keep their own points', () => {
    const point = (value: number) => tvp(`<w:time>2024-01-01T0${value}:00Z</w:time><w:value>${value}</w:value>`);
    const { series } = read(collection(observation(point(1) + point(2)), observation(''), observation(point(3))));
    expect(series.map((one) => Array.from(one.values))).toEqual([[1, 2], [], [3]]);
  });

  it('daily statistics stand at local noon', () => {
    const statistic =
      '<o:procedure><w:ObservationProcess><w:parameter x:title="Statistic"><o:NamedValue><o:value>00003</o:value></o:NamedValue></w:parameter></w:ObservationProcess></o:procedure>';
    const { series } = read(
      collection(observation(tvp('<w:time>2024-07-01T00:00:00</w:time><w:value>1</w:value>'), statistic)),
    );
    expect(series[0]).toMatchObject({ key: 'st-7 flow 00003', statisticCode: '00003' });
    expect(utc(series[0]!.timesMs[0]!)).toBe('2024-07-01T11:00');
  });

  it.each([
    ['another XML', '<a/>', 'XML with the root a and no observation with a measurement time series'],
    ['a document type', '<!DOCTYPE a><a/>', 'XML with a document type declaration'],
  ])('refuses %s', (_, text, found) => {
    expect(read(text).issues).toMatchObject([{ code: 'wrong-format', severity: 'fatal', found }]);
  });
  it('refuses a cut-off download', () => {
    const whole = collection(observation(tvp('<w:time>2024-01-01T00:00Z</w:time><w:value>1</w:value>')));
    for (const cut of [20, 80, 150, 190])
      expect(read(whole.slice(0, -cut)).issues[0]!.found, `${cut}`).toMatch(/^XML that breaks off/);
  });
});

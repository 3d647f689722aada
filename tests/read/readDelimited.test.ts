import { describe, expect, it } from 'vitest';
import { codeMeanings } from '../../src/read/codeMeanings.js';
import { readDelimited } from '../../src/read/readDelimited.js';
import type { Gauge } from '../../src/series/creek.js';
import { textFile } from './creekExample.js';
import { base, sentences, table, utc } from './gaugeExample.js';

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

  it('a code or a missing token with quotes, a line break or blanks is the one that creek.json means', () => {
    const { series } = read(
      'time,value,q\n2024-01-01T10:00Z,1,"the ""ice"" code"\n2024-01-01T11:00Z,"no\nvalue",A\n2024-01-01T12:00Z,2,ice  cover\n',
      { missing: [' no  value '] },
    );
    expect(series[0]!.codes).toEqual(['the "ice" code', 'A', 'ice cover']);
    expect(series[0]!.unreadable).toEqual(new Map());
    const meaning = codeMeanings({ ...gauge, refuse: ['the "ice" code ', 'ice   cover'] });
    expect(series[0]!.codes!.map((code) => meaning(code, false).refusal !== undefined)).toEqual([true, false, true]);
  });

  it('takes the zone of the gauge before the default', () => {
    const { series } = read('time,value,q\n2024-07-01T12:00,1,\n', { timeZone: 'Etc/GMT+7' }, 'Europe/London');
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
      "warning f.csv row 5, column time: found '01/02/2024', expected a time in ISO 8601, such as 2024-04-28T14:30. Day and month cannot be told apart here: set datePattern to the way the file means it, such as dd/MM/yyyy HH:mm.",
      'warning f.csv row 6: found a quote that is not closed, expected a double quote that is closed in its row. Close the quote, or write a quote inside a cell twice. The lines after it are read as rows of their own.',
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

import { describe, expect, it } from 'vitest';
import { readForecasts } from '../../src/read/readForecasts.js';
import { issueSentence } from '../../src/series/issue.js';

const read = (text: string, timeZone = 'UTC') =>
  readForecasts({ name: 'forecasts/weir.csv', bytes: new TextEncoder().encode(text) }, { timeZone });

describe('a table of official forecasts', () => {
  it('is one forecast an issue time, the oldest first, its values by time', () => {
    const { forecasts, issues } = read(
      'value,time,issued,model\n' +
        '5.5,2031-05-04T18:00Z,2031-05-04T06:00Z,a\n' +
        '5.0,2031-05-04T12:00Z,2031-05-04T06:00Z,a\n' +
        '4.0,2031-05-03T12:00Z,2031-05-03T06:00Z,a\n',
    );
    expect(issues).toEqual([]);
    expect(forecasts.map(({ issuedMs, values }) => [new Date(issuedMs).toISOString(), [...values]])).toEqual([
      ['2031-05-03T06:00:00.000Z', [4]],
      ['2031-05-04T06:00:00.000Z', [5, 5.5]],
    ]);
    expect(forecasts[1]!.timesMs[1]! - forecasts[1]!.timesMs[0]!).toBe(6 * 3_600_000);
  });

  it('reads times without an offset by the clock of the gauge', () => {
    const { forecasts } = read('issued,time,value\n2031-05-04 06:00,2031-05-04 12:00,5\n', 'Etc/GMT+7');
    expect(new Date(forecasts[0]!.issuedMs).toISOString()).toBe('2031-05-04T13:00:00.000Z');
  });

  it.each([
    ['a word for a number', '2031-05-04T06:00Z,2031-05-04T12:00Z,much', "row 3, column value: found 'much'"],
    ['no value', '2031-05-04T06:00Z,2031-05-04T12:00Z,', "row 3, column value: found ''"],
    ['a day that is none', '2031-05-04T06:00Z,2031-05-34T12:00Z,5', "row 3, column time: found '2031-05-34T12:00Z'"],
    ['an issue that is no time', 'today,2031-05-04T12:00Z,5', "row 3, column issued: found 'today'"],
    [
      'a time before its issue',
      '2031-05-04T06:00Z,2031-05-04T05:00Z,5',
      'row 3, column time: found a time that is not',
    ],
  ])('names %s by row and column, and uses the rest', (_, row, says) => {
    const { forecasts, issues } = read(`issued,time,value\n2031-05-03T06:00Z,2031-05-03T12:00Z,4\n${row}\n`);
    expect(forecasts.length).toBe(1);
    expect(issues.map(issueSentence)).toEqual([expect.stringContaining(`forecasts/weir.csv ${says}`)]);
  });

  it('says which columns are missing', () => {
    const { forecasts, issues } = read('when,flow\n2031-05-04T06:00Z,5\n');
    expect(forecasts).toEqual([]);
    expect(issueSentence(issues[0]!)).toContain(
      'found a header without issued, time, value, expected issued,time,value',
    );
    expect(read('').issues.length).toBe(1);
  });
});

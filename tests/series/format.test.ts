import { describe, expect, test } from 'vitest';
import * as f from '../../src/series/format.js';
import { groupDigits } from '../../src/series/groupDigits.js';
import { issueSentence } from '../../src/series/issue.js';

const none = [null, null] as const;

describe('numbers', () => {
  test('no trailing zeros, a true minus, no minus zero, thousands apart from 10 000 on', () => {
    expect([2, 2.5, -2.5, -0.001, 9999, 12345.6].map((v) => f.plain(v, 1))).toEqual([
      '2',
      '2.5',
      '−2.5',
      '0',
      '9999',
      '12\u202f345.6',
    ]);
    expect(f.plain(100, 0)).toBe('100');
    expect(f.plain(10.04, 1)).toBe('10');
    expect([-0.001, -1.25].map((v) => f.fixed(v, 2))).toEqual(['0.00', '−1.25']);
    expect([NaN, Infinity, null].map((v) => f.fixed(v, 2))).toEqual(['unknown', 'unknown', 'unknown']);
  });

  test('data is rounded to decimals without a minus zero; a range of three figures never reaches past itself', () => {
    expect([1.26, -0.04, NaN, Infinity].map((v) => f.rounded(v, 1))).toEqual([1.3, 0, NaN, Infinity]);
    expect([f.significantInward(1.2345, 'low'), f.significantInward(1.2345, 'high')]).toEqual([1.24, 1.23]);
    expect([f.significantInward(1231, 'low'), f.significantInward(1231, 'high')]).toEqual([1240, 1230]);
  });

  test('three figures without an exponent', () => {
    expect([12345.6, 1234.5, 12.34, 0.12345, 0, 1e-9, 100, 9.999].map((v) => f.figures(v))).toEqual([
      '12\u202f300',
      '1230',
      '12.3',
      '0.123',
      '0',
      '0',
      '100',
      '10',
    ]);
  });
});

describe('shares', () => {
  test('none and all are said only of none and all', () => {
    expect([0, 0.002, 0.005, 0.68, 0.996, 1].map(f.share)).toEqual([
      '0 %',
      'under 1 %',
      '1 %',
      '68 %',
      'over 99 %',
      '100 %',
    ]);
    expect([0, 1].map(f.odds)).toEqual(['under 1 %', 'over 99 %']);
    expect(f.odds(null)).toBe('unknown');
  });

  test('a skill can be below nothing', () => {
    expect([-0.086, -0.002].map(f.share)).toEqual(['−9 %', '0 %']);
  });

  test('with an interval', () => {
    expect(f.shareWithI80({ value: 0.68, i80: [0.55, 0.79] })).toBe('68 % (55 to 79)');
    expect(f.shareWithI80({ value: 0, i80: [0, 0.21] })).toBe('0 % (0 to 21)');
    expect(f.shareWithI80({ value: 0.5, i80: none })).toBe('50 %');
    expect(f.shareWithI80({ median: 0.5, i80: [null, 0.7] })).toBe('50 % (below 70)');
    expect(f.shareWithI80({ value: null, i80: none })).toBe('unknown');
    expect(f.shareRange([0.03, 0.12])).toBe('3 to 12 %');
  });

  test('a change in ln units', () => {
    expect([0.2, -0.2, 0].map(f.lnShare)).toEqual(['+22 %', '−18 %', '0 %']);
  });
});

describe('a number and its interval', () => {
  test.each([
    [2.6, [2.1, 3.1], '2.6 (2.1 to 3.1)'],
    [0.68, [0.55, 0.79], '0.70 (0.55 to 0.79)'],
    [0.081, [0.07, 0.092], '0.080 (0.070 to 0.092)'],
    [1444.62, [1200, 1700], '1400 (1200 to 1700)'],
    [1.75, [1.7, 1.9], '1.75 (1.70 to 1.90)'],
    [-0.03, [-0.11, 0.05], '−0.05 (−0.11 to 0.05)'],
  ] as const)('%s %j', (value, i80, text) => expect(f.withI80({ value, i80 })).toBe(text));

  test('the printed step is never finer than a fifth of the interval, and at most five fifths', () => {
    for (let width = 1e-3; width < 1e4; width *= 1.07) {
      const { size } = f.stepFor(width)!;
      expect(size).toBeGreaterThanOrEqual((width / 5) * (1 - 1e-9));
      expect(size).toBeLessThanOrEqual(width / 2 + 1e-9);
    }
    expect(f.stepFor(5)!.size).toBe(1);
    // Tenths, hundredths: as many decimals as its unit, a power of ten that divides it.
    expect([3.5, 0.35, 35, 2.4, 0.6].map(f.stepFor)).toEqual([
      { size: 1, unit: 1, digits: 0 },
      { size: 0.1, unit: 0.1, digits: 1 },
      { size: 10, unit: 10, digits: 0 },
      { size: 0.5, unit: 0.1, digits: 1 },
      { size: 0.2, unit: 0.1, digits: 1 },
    ]);
    expect([0, NaN, Infinity, -1].map(f.stepFor)).toEqual([null, null, null, null]);
  });

  test('a number that its step would push out of its interval keeps the decimals of the ends', () => {
    expect(f.withI80({ value: 3.11, i80: [2.2, 3.14] })).toBe('3.1 (2.2 to 3.2)');
  });

  test('without an interval', () => {
    expect(f.withI80({ value: 2.6, i80: none })).toBe('2.6');
    expect(f.withI80({ value: null, i80: none })).toBe('unknown');
    expect(f.withI80({ value: 2.61, i80: [null, 3.2] })).toBe('2.61 (below 3.2)');
  });

  test('ranges with an open end', () => {
    expect(([[3, 12], [null, 12], [3, null], none] as const).map((ends) => f.range(ends, String))).toEqual([
      '3 to 12',
      'below 12',
      'above 3',
      'any',
    ]);
  });
});

describe('hours, words, times', () => {
  test('hours: whole from 10 on, else halves', () => {
    expect([1, 2.4, 12.6, -0.1].map(f.hoursInWords)).toEqual(['1 hour', '2.5 hours', '13 hours', '0 hours']);
    expect([2.26, -3].map(f.hours)).toEqual(['2.5 h', '−3 h']);
  });

  test('counts and lists', () => {
    expect([1, 3, 2.5].map((n) => f.counted(n, 'visit'))).toEqual(['1 visit', '3 visits', '2.5 visits']);
    expect([[], ['a'], ['a', 'b'], ['a', 'b', 'c']].map(f.listed)).toEqual(['', 'a', 'a and b', 'a, b and c']);
  });

  test('units and what a gauge shows', () => {
    expect(f.inUnit(1400, 'ft3/s', 0)).toBe('1400 ft³/s');
    expect((['discharge', 'stage', 'L/s', 'cm'] as const).map(f.parameterWord)).toEqual([
      'flow',
      'height',
      'flow',
      'height',
    ]);
  });

  test('days, minutes and months are those of the zone', () => {
    const late = Date.UTC(2031, 3, 30, 23, 30);
    expect([f.day(late, 'UTC'), f.day(late, 'Pacific/Auckland'), f.day(null, 'UTC')]).toEqual([
      '2031-04-30',
      '2031-05-01',
      'never',
    ]);
    expect(f.minute(late, 'Pacific/Auckland')).toBe('2031-05-01 11:30');
    expect([null, NaN, Infinity].flatMap((none) => [f.day(none, 'UTC'), f.minute(none, 'UTC')])).toEqual(
      Array(6).fill('never'),
    );
    expect([f.monthOf(late, 'UTC'), f.monthOf(late, 'Pacific/Auckland')]).toEqual([4, 5]);
    expect(f.isoTime(late)).toBe('2031-04-30T23:30:00.000Z');
  });
});

describe('digits and issues', () => {
  test('four digits stay together, five do not', () => {
    expect(['9999', '-9999.5', '10000', '1234567.25'].map(groupDigits)).toEqual([
      '9999',
      '−9999.5',
      '10\u202f000',
      '1\u202f234\u202f567.25',
    ]);
  });

  test('an issue counts rows from two on', () => {
    const issue = { code: 'row-shape', severity: 'warning', file: 'a.csv', row: 4, found: "'x'" } as const;
    expect(issueSentence(issue)).toBe("a.csv row 4: found 'x'.");
    expect(issueSentence({ ...issue, count: 1 })).toBe("a.csv row 4: found 'x'.");
    expect(issueSentence({ ...issue, count: 2, expected: 'y', hint: 'Mend it.' })).toBe(
      "a.csv row 4: found 'x', expected y (2 rows). Mend it.",
    );
  });
});

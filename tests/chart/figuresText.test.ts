import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisTicks } from '../../src/chart/figures/axisTicks.js';
import { wallClock } from '../../src/chart/figures/localTime.js';
import { oddsAt } from '../../src/chart/figures/oddsAt.js';
import { shortList } from '../../src/chart/figures/shortList.js';
import { minute } from '../../src/series/format.js';
import { wholePercents } from '../../src/chart/figures/wholePercents.js';

describe('oddsAt', () => {
  const table = {
    gaugeValues: [1, 3, 7],
    probability: [
      [1, 0],
      [0.25, 0.75],
      [0, 1],
    ],
  };
  it('is the row at a row, and linear between rows', () => {
    expect(oddsAt(table, 1)).toEqual([1, 0]);
    expect(oddsAt(table, 3)).toEqual([0.25, 0.75]);
    expect(oddsAt(table, 7)).toEqual([0, 1]);
    expect(oddsAt(table, 2)).toEqual([0.625, 0.375]);
    expect(oddsAt(table, 5)).toEqual([0.125, 0.875]);
  });
  it('has nothing to say outside the table, for no number, and without rows', () => {
    for (const value of [0.999, 7.001, NaN, -Infinity]) expect(oddsAt(table, value)).toBeUndefined();
    expect(oddsAt({ gaugeValues: [], probability: [] }, 1)).toBeUndefined();
    expect(oddsAt({ gaugeValues: [2], probability: [[0.5, 0.5]] }, 2)).toEqual([0.5, 0.5]);
  });
  it('sums to 1 wherever the rows do', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 7, noNaN: true }), (value) => {
        const odds = oddsAt(table, value)!;
        return Math.abs(odds[0]! + odds[1]! - 1) < 1e-12;
      }),
    );
  });
});

describe('wholePercents', () => {
  it.each([
    [
      [1 / 3, 1 / 3, 1 / 3],
      [33, 33, 34],
    ],
    [
      [0.5, 0.5],
      [50, 50],
    ],
    [
      [0.005, 0.995],
      [0, 100],
    ],
    [
      [0.001, 0.002, 0.997],
      [0, 0, 100],
    ],
    [
      [0.125, 0.125, 0.75],
      [12, 13, 75],
    ],
    [
      [0, 0],
      [0, 0],
    ],
    [
      [NaN, 1],
      [0, 0],
    ],
    [[], []],
  ])('writes %j as %j', (odds, percents) => {
    expect(wholePercents(odds)).toEqual(percents);
  });
  it('sums to 100 and is never off by a whole percent', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2, maxLength: 9 }), (raw) => {
        const total = raw.reduce((sum, p) => sum + p, 0);
        fc.pre(total > 1e-6);
        const odds = raw.map((p) => p / total);
        const whole = wholePercents(odds);
        expect(whole.reduce((sum, p) => sum + p, 0)).toBe(100);
        whole.forEach((p, k) => expect(Math.abs(p - 100 * odds[k]!)).toBeLessThan(1 + 1e-9));
      }),
    );
  });
});

describe('axisTicks', () => {
  it('marks a log axis at round values that have room', () => {
    expect(axisTicks({ from: 80, to: 1100 }, { kind: 'log', px: 240 }).texts).toEqual(['100', '200', '500', '1000']);
    expect(axisTicks({ from: 0.03, to: 30 }, { kind: 'log', px: 240 }).values).toEqual([0.03, 0.1, 0.3, 1, 3, 10, 30]);
  });
  it('falls back to even steps where a log axis is short', () => {
    const { values } = axisTicks({ from: 310, to: 340 }, { kind: 'log', px: 600 });
    expect(values.length).toBeGreaterThan(3);
    for (const value of values) expect(value % 5).toBe(0);
  });
  it('marks a linear axis through zero', () => {
    expect(axisTicks({ from: -0.4, to: 0.9 }, { kind: 'linear', px: 300 }).values).toContain(0);
  });
  it('stays inside, in order, with labels that differ and do not touch', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 4, noNaN: true }),
        fc.double({ min: 0.15, max: 4, noNaN: true }),
        fc.constantFrom(240, 640),
        (start, length, px) => {
          const [from, to] = [10 ** start, 10 ** (start + length)];
          const { values, texts } = axisTicks({ from, to }, { kind: 'log', px });
          expect(new Set(texts).size).toBe(texts.length);
          const places = values.map((value) => (px * Math.log(value / from)) / Math.log(to / from));
          places.forEach((place, i) => {
            expect(place).toBeGreaterThanOrEqual(-1e-6);
            expect(place).toBeLessThanOrEqual(px + 1e-6);
            if (i > 0) expect(place - places[i - 1]!).toBeGreaterThan(3.6 * (texts[i]!.length + texts[i - 1]!.length));
          });
        },
      ),
    );
  });
});

describe('localTime', () => {
  it('moves a record to the wall clock, to the very reading at which the clock changes', () => {
    const hours = Array.from({ length: 96 }, (_, i) => Date.UTC(2031, 2, 29) + i * 3_600_000);
    const moved = wallClock(hours, 'Europe/Vienna').map((ms, i) => (ms - hours[i]!) / 3_600_000);
    // The clock goes ahead at 01:00 UTC on March 30th, hour 25; it goes back on October 26th.
    expect(moved).toEqual(hours.map((_, i) => (i < 25 ? 1 : 2)));
    const autumn = Array.from({ length: 50 }, (_, i) => Date.UTC(2031, 9, 25, 12) + i * 1_800_000);
    const back = wallClock(autumn, 'Europe/Vienna').map((ms, i) => (ms - autumn[i]!) / 3_600_000);
    expect(back).toEqual(autumn.map((ms) => (ms < Date.UTC(2031, 9, 26, 1) ? 2 : 1)));
  });
  it('is the same as asking the zone for every reading', () => {
    const all = Array.from({ length: 900 }, (_, i) => Date.UTC(2029, 0, 1) + i * 12 * 3_600_000);
    for (const zone of ['America/St_Johns', 'Asia/Kathmandu', 'Australia/Lord_Howe', 'UTC'])
      expect(wallClock(all, zone).map((ms) => new Date(ms).toISOString().slice(0, 16).replace('T', ' '))).toEqual(
        all.map((ms) => minute(ms, zone)),
      );
  });
  it('takes moments in any order', () => {
    const [summer, winter] = wallClock([Date.UTC(2031, 6, 1), Date.UTC(2031, 0, 1)], 'Europe/Vienna');
    expect(summer! - Date.UTC(2031, 6, 1)).toBe(7_200_000);
    expect(winter! - Date.UTC(2031, 0, 1)).toBe(3_600_000);
  });
});

describe('shortList', () => {
  it('keeps what has room, the first one always, and says how many are left', () => {
    const items = ['low 3', 'good 5', 'high 9'];
    expect(shortList(items, { most: 14 })).toBe('low 3; good 5; and 1 more');
    expect(shortList(items, { most: 13 })).toBe('low 3; good 5; and 1 more');
    expect(shortList(items, { most: 12 })).toBe('low 3; and 2 more');
    expect(shortList(items, { most: 1, between: ', ' })).toBe('low 3, and 2 more');
    expect(shortList(items, { most: 99 })).toBe('low 3; good 5; high 9');
    expect(shortList([], { most: 9 })).toBe('');
  });
});

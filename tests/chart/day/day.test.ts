import { describe, expect, it } from 'vitest';
import { likeMoments } from '../../../src/chart/day/likeMoments.js';
import { oddsNow } from '../../../src/chart/day/oddsNow.js';
import { outlook } from '../../../src/chart/day/outlook.js';
import { readingSeries } from '../../../src/chart/day/readingSeries.js';
import { seasonOf } from '../../../src/chart/day/season.js';
import { DAY, FROM, HOUR, makeRecord } from '../../align/makeRecord.js';
import { expectClose } from '../../expectClose.js';
import { stepLevel } from './stepLevel.js';

/** Floods of one shape every ten days: up to 30 within six hours, then falling by 1 % an hour, to about 3. */
const flood = (hour: number): number => {
  const t = hour % 240;
  return t < 6 ? 3 * 10 ** (t / 6) : 30 * 0.99 ** (t - 6);
};
const years = (n: number) => Array.from({ length: n * 365 * 24 }, (_, hour) => flood(hour));

describe('oddsNow', () => {
  // Ends on a recession, three days after a peak.
  const record = makeRecord(years(2).slice(0, -160));
  const end = record.timesMs.at(-1)!;
  const flowAt = (timeMs: number) => flood(Math.round((timeMs - FROM) / HOUR));

  it('takes the reading that the chart asks for where it stands in the record', () => {
    const arrivalMs = FROM + (240 * 60 + 50) * HOUR;
    const said = oddsNow(stepLevel({ lagHours: 4 }), record, { arrivalMs });
    expectClose(said.reading!.value, flowAt(arrivalMs - 4 * HOUR), { rel: 1e-12, why: 'reading 4 h before' });
    expect(said.carriedHours).toBe(0);
    expect(said.why).toBeNull();
    // 30 · 0.99^40 = 20.07: between 19.5 and 20.5 the odds go straight from good to high.
    const share = flowAt(arrivalMs - 4 * HOUR) - 19.5;
    said.odds!.forEach((p, k) => expectClose(p, [0, 1 - share, share][k]!, { abs: 1e-9, why: `class ${k}` }));
    expect(said.change!).toBeLessThan(0);
  });

  it('carries the newest reading forward as past moments like it went on', () => {
    const arrivalMs = end + 10 * HOUR;
    const said = oddsNow(stepLevel({ lagHours: 2 }), record, { arrivalMs });
    expect(said.carriedHours).toBe(8);
    expect(said.newest!.timeMs).toBe(end);
    // Every flood has the same recession.
    expectClose(said.reading!.value, record.values.at(-1)! * 0.99 ** 8, { rel: 1e-9, why: 'the recession goes on' });
    expect(said.like).toBeGreaterThanOrEqual(12);
  });

  it('says why it has nothing to say', () => {
    const level = stepLevel();
    expect(oddsNow(level, makeRecord([]), { arrivalMs: FROM }).why).toBe('no-reading');
    expect(oddsNow(level, record, { arrivalMs: FROM - HOUR }).why).toBe('no-reading');
    expect(oddsNow(level, record, { arrivalMs: end + 25 * HOUR }).why).toBe('stale');
    // A flow that no other moment has come near.
    const strange = makeRecord([...years(1), 300, 300, 300, 300]);
    const said = oddsNow(level, strange, { arrivalMs: strange.timesMs.at(-1)! + 2 * HOUR });
    expect([said.why, said.like, said.odds]).toEqual(['nothing-like-it', 0, null]);
    expect(() => oddsNow(level, record, { arrivalMs: NaN })).toThrow('oddsNow: arrivalMs must be a time, got NaN');
  });

  it('gives no class to water that no visit has met', () => {
    const said = oddsNow(stepLevel(), makeRecord([100, 50, 50, 50]), { arrivalMs: FROM + 3 * HOUR });
    expect([said.why, said.odds, said.notSeen]).toEqual(['not-seen', null, { below: 0, above: 1 }]);
    const low = oddsNow(stepLevel(), makeRecord([4, 4, 4]), { arrivalMs: FROM + 2 * HOUR });
    expect([low.why, low.notSeen]).toEqual(['not-seen', { below: 1, above: 0 }]);
  });
});

describe('likeMoments', () => {
  it('finds the same place of other floods, nearest first, a day apart, and passes over what it is told to', () => {
    const series = readingSeries(makeRecord(years(2)), { storageHours: 0 });
    const nowMs = FROM + (240 * 40 + 60) * HOUR;
    const like = likeMoments(series, { nowMs });
    expect(like.length).toBeGreaterThan(20);
    for (const { timeMs } of like.slice(0, 10)) {
      expect(Math.abs((((timeMs - FROM) / HOUR) % 240) - 60)).toBeLessThanOrEqual(12);
      expect(Math.abs(timeMs - nowMs)).toBeGreaterThanOrEqual(3 * DAY);
    }
    like.slice(1).forEach(({ distance }, i) => expect(distance).toBeGreaterThanOrEqual(like[i]!.distance));
    const firstYear = likeMoments(series, { nowMs, leave: (timeMs) => timeMs > FROM + 365 * DAY });
    expect(firstYear.every(({ timeMs }) => timeMs <= FROM + 365 * DAY)).toBe(true);
    expect(likeMoments(series, { nowMs: FROM - DAY })).toEqual([]);
  });
});

describe('outlook', () => {
  const record = makeRecord(years(2));
  // 54 h after the peak: 30 · 0.99^54 = 17.4, in good.
  const nowMs = FROM + (240 * 60 + 60) * HOUR;

  it('falls through an edge when the recession says so', () => {
    const { falls, steps, fromMs } = outlook(stepLevel({ lagHours: 3 }), record, { nowMs });
    expect(fromMs).toBe(nowMs + 3 * HOUR);
    // ln(17.43/10)/-ln 0.99 = 55.3 h to the lower edge; the upper one lies above already.
    expect(falls.map(({ between }) => between)).toEqual([['low', 'good']]);
    expect(falls[0]!.medianHours).toBe(56);
    expect(falls[0]!.stillAbove.map(({ share }) => share)).toEqual([1, 1, 1, 0]);
    const at48 = steps.find(({ hours }) => hours === 48)!;
    expectClose(at48.odds![1]!, 1, { abs: 1e-9, why: 'still good after two days' });
    const at72 = steps.find(({ hours }) => hours === 72)!;
    expectClose(at72.odds![0]!, 1, { abs: 1e-9, why: 'low after three' });
  });

  it('counts a new rise as cut off, not as staying up', () => {
    // 17 h before the next rise the water stands near 3; from 5 it falls to the next rise without meeting an edge at 2.
    const level = stepLevel();
    const low = { ...level, edges: [{ ...level.edges[0]!, median: 2 }] } as typeof level;
    const said = outlook(low, record, { nowMs: FROM + (240 * 60 + 200) * HOUR });
    expect(said.falls[0]!.medianHours).toBeNull();
    expect(said.falls[0]!.stillAbove.at(-1)).toEqual({ hours: 72, share: 1, se: 0 });
  });

  it('says nothing without a reading or without moments like it', () => {
    expect(outlook(stepLevel(), makeRecord([]), {}).why).toBe('no-reading');
    expect(outlook(stepLevel(), makeRecord([10, 10, 10]), {}).why).toBe('nothing-like-it');
  });
});

describe('seasonOf', () => {
  it('counts days at local noon by month and year, and gives no class to what was not seen', () => {
    // Three years: good water (15) in March of each, too little to be seen (3) else; 2032 is a leap year.
    const hours = 3 * 365 * 24 + 24;
    const values = Array.from({ length: hours }, (_, h) =>
      new Date(Date.UTC(2031, 0, 1) + h * HOUR).getUTCMonth() === 2 ? 15 : 3,
    );
    const record = makeRecord(values, { hours: values.map((_, h) => h - 5 * 24) });
    const season = seasonOf(stepLevel(), record, { timeZone: 'UTC' });
    expect(season.good).toEqual(['good']);
    expect(season.months[2]).toEqual({ days: 93, share: [0, 1, 0], below: 0, above: 0 });
    expect(season.months[6]!.below).toBe(1);
    expect(season.months[6]!.share).toEqual([0, 0, 0]);
    expect(season.goodDays).toEqual({ median: 31, i80: [31, 31], years: 3 });
    expect(season.longestGood).toEqual({ days: 31, fromMs: Date.UTC(2031, 2, 1, 12) });
    expect(season.mostly).toEqual([[2, 2]]);
  });

  it('spreads over years, and knows none in a record of half a year', () => {
    const days = (good: number) => Array.from({ length: 365 * 24 }, (_, h) => (h < good * 24 ? 15 : 7));
    const record = makeRecord([...days(10), ...days(30), ...days(50)]);
    const { goodDays } = seasonOf(stepLevel(), record, { timeZone: 'UTC' });
    expect(goodDays!.years).toBe(3);
    expect(goodDays!.median).toBeGreaterThan(24);
    expect(goodDays!.median).toBeLessThan(36);
    expect(goodDays!.i80[0]).toBeLessThan(20);
    expect(goodDays!.i80[1]).toBeGreaterThan(40);
    const half = seasonOf(stepLevel(), makeRecord(days(10).slice(0, 180 * 24)), { timeZone: 'UTC' });
    expect(half.goodDays).toBeNull();
    expect(half.longestGood!.days).toBe(10);
  });

  it('reads the gauge the lag before noon, in the zone of the creek', () => {
    // One good hour each day, 06:00 UTC; noon in Denver (winter) is 19:00 UTC.
    const values = Array.from({ length: 60 * 24 }, (_, h) => (h % 24 === 6 ? 15 : 7));
    const record = makeRecord(values);
    const good = (lagHours: number) =>
      seasonOf(stepLevel({ lagHours }), record, { timeZone: 'America/Denver' }).months[0]!.share[1]!;
    expect(good(13)).toBe(1);
    expect(good(12)).toBe(0);
  });
});

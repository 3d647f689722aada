import { describe, expect, it } from 'vitest';
import type { HourlyReadings } from '../../../src/judge/screen/hourlyReadings.js';
import { hourlyReadings } from '../../../src/judge/screen/hourlyReadings.js';
import { SCREEN_LAGS, screenPair } from '../../../src/judge/screen/screenPair.js';
import { createRandom } from '../../../src/kernel/random.js';
import { FROM, HOUR, makeRecord } from '../../align/makeRecord.js';
import { expectClose } from '../../expectClose.js';

const DAY = 24 * HOUR;
const LABEL = 'main weir';

/** Readings of a gauge by look and lag, in a country without seasons. */
const told = (times: readonly number[], xs: readonly (readonly number[])[]): HourlyReadings => {
  const known = new Map(
    times.flatMap((t, i) => SCREEN_LAGS.map((lag, l): [number, number] => [t - lag * HOUR, xs[i]![l]!])),
  );
  return { at: (timeMs) => known.get(timeMs) ?? NaN, usualAt: () => 0 };
};
const every = (days: number, count: number) => Array.from({ length: count }, (_, i) => FROM + i * days * DAY);

describe('a first look at a gauge', () => {
  // R 4.2.2: cor(c(0,1,2,2,3,4,1,0), c(1.1,0.9,2.5,2.1,3.0,4.2,2.2,0.5), method = "spearman")
  const classIndex = [0, 1, 2, 2, 3, 4, 1, 0];
  const x = [1.1, 0.9, 2.5, 2.1, 3, 4.2, 2.2, 0.5];
  const timesMs = every(20, 8);
  /** At every other lag the gauge tells nothing: the same order turned round. */
  const oneLag = x.map((value) => SCREEN_LAGS.map((lag) => (lag === 6 ? value : -value)));

  it('takes the best lag by the rank correlation, which is R’s', () => {
    const found = screenPair({ timesMs, classIndex }, told(timesMs, oneLag), { seed: 1, label: LABEL });
    expect([found.looks, found.lagHours]).toEqual([8, 6]);
    expectClose(found.rho, 0.884994777068191, { abs: 1e-10, why: 'cor(…, method = "spearman") of R' });
  });

  it('gives the odds of such a correlation among all pairings there are, the best lag of each', () => {
    const found = screenPair({ timesMs, classIndex }, told(timesMs, oneLag), { seed: 1, label: LABEL });
    // All 8! orders; the second lag is the first turned round, so the best of both is the size of one.
    let asGood = 0;
    let all = 0;
    const order = [...classIndex];
    const spearman = (v: readonly number[]) => correlation(midRanks(v), midRanks(x));
    const least = spearman(classIndex) - 1e-12;
    const swap = (k: number): void => {
      if (k === 1) {
        all++;
        if (Math.abs(spearman(order)) >= least) asGood++;
        return;
      }
      for (let i = 0; i < k; i++) {
        swap(k - 1);
        const j = k % 2 === 0 ? i : 0;
        [order[j], order[k - 1]] = [order[k - 1]!, order[j]!];
      }
    };
    swap(8);
    const exact = asGood / all;
    // Twelve hits of a sequential test: a relative error of 1/√12.
    expectClose(found.p, exact, { rel: 1, why: `exact odds ${exact}` });
    expect(found.p).toBeGreaterThan(exact / 2);
  });

  it('counts visits of one flood as one look, and says nothing of fewer than eight or without a reading', () => {
    const pairs = timesMs.flatMap((t) => [t, t + DAY]);
    const twice = told(
      pairs,
      pairs.map((_, i) => oneLag[Math.floor(i / 2)]!),
    );
    const both = { timesMs: pairs, classIndex: pairs.map((_, i) => classIndex[Math.floor(i / 2)]!) };
    const once = screenPair({ timesMs, classIndex }, told(timesMs, oneLag), { seed: 1, label: LABEL });
    expect(screenPair(both, twice, { seed: 1, label: LABEL })).toEqual(once);
    const few = { timesMs: timesMs.slice(1), classIndex: classIndex.slice(1) };
    expect(screenPair(few, told(timesMs, oneLag), { seed: 1, label: LABEL })).toMatchObject({ looks: 7, p: 1 });
    const silent = { at: () => NaN, usualAt: () => 0 };
    expect(screenPair({ timesMs, classIndex }, silent, { seed: 1, label: LABEL })).toMatchObject({ looks: 0, p: 1 });
    const flat = told(
      timesMs,
      timesMs.map(() => SCREEN_LAGS.map(() => 3)),
    );
    expect(screenPair({ timesMs, classIndex }, flat, { seed: 1, label: LABEL }).p).toBe(1);
  });

  it('is the same from the same seed, and its permutations are another pair’s in no case', () => {
    const random = createRandom(4);
    const times = every(10, 40);
    const noise = told(
      times,
      times.map(() => SCREEN_LAGS.map(() => random.normal())),
    );
    const log = { timesMs: times, classIndex: times.map(() => random.integer(5)) };
    const one = screenPair(log, noise, { seed: 1, label: LABEL });
    expect(screenPair(log, noise, { seed: 1, label: LABEL })).toEqual(one);
    const others = ['a', 'b', 'c', 'd'].map((label) => screenPair(log, noise, { seed: 1, label }).p);
    expect(new Set([one.p, ...others]).size).toBeGreaterThan(2);
  });

  it('holds its level: of 300 gauges of noise about one in twenty has odds below 0.05', () => {
    const random = createRandom(5);
    const times = every(9, 30);
    const log = { timesMs: times, classIndex: times.map(() => random.integer(5)) };
    const small = Array.from({ length: 300 }, (_, g) => {
      const noise = told(
        times,
        times.map(() => SCREEN_LAGS.map(() => random.normal())),
      );
      return screenPair(log, noise, { seed: 1, label: `${g}` }).p;
    }).filter((p) => p <= 0.05).length;
    // 15 expected, sd 3.8.
    expect(small).toBeGreaterThan(3);
    expect(small).toBeLessThan(29);
  });
});

describe('a record laid on hours', () => {
  const record = makeRecord(Array.from({ length: 48 }, (_, h) => Math.exp(h / 10)));
  const laid = hourlyReadings(record);

  it('has the reading of the hour before a moment, and none outside', () => {
    expectClose(laid.at(FROM + 5 * HOUR), 0.5, { abs: 1e-12, why: 'reading of that hour' });
    expectClose(laid.at(FROM + 5.9 * HOUR), 0.5, { abs: 1e-12, why: 'the hour has not passed' });
    expect([laid.at(FROM - HOUR), laid.at(FROM + 48 * HOUR)]).toEqual([NaN, NaN]);
  });

  it('has the usual reading of the day of the year, in leap years and others', () => {
    const usual = laid.usualAt(FROM + DAY);
    expect(usual).toBeGreaterThan(0);
    for (const year of [2019, 2020, 2021, 2024]) {
      const other = new Date(FROM + DAY);
      other.setUTCFullYear(year);
      expectClose(laid.usualAt(other.getTime()), usual, { abs: 0.2, why: `${year}: the same day` });
      expect(laid.usualAt(Date.UTC(year, 11, 31, 12))).toEqual(expect.any(Number));
    }
  });
});

function midRanks(values: readonly number[]): number[] {
  return values.map(
    (v) => (1 + values.length + values.filter((w) => w < v).length - values.filter((w) => w > v).length) / 2,
  );
}

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (n: readonly number[]) => n.reduce((p, q) => p + q, 0) / n.length;
  const [ma, mb] = [mean(a), mean(b)];
  const sum = (of: (i: number) => number) => a.reduce((total, _, i) => total + of(i), 0);
  return (
    sum((i) => (a[i]! - ma) * (b[i]! - mb)) / Math.sqrt(sum((i) => (a[i]! - ma) ** 2) * sum((i) => (b[i]! - mb) ** 2))
  );
}

import { sampleRankCorrelation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { verdictRankCorrelation } from '../../src/judge/verdictRankCorrelation.js';
import { usualReadings } from '../../src/judge/seasonReading.js';
import { expectClose } from '../expectClose.js';
import { seasonWorld, type Season } from '../../tools/simulateSeasons/seasonWorld.js';
import { DAY, FIVE, syntheticAligned } from './syntheticRelation.js';
import { dailyRecord } from './dailyRecord.js';

const SEASONS: readonly Season[] = ['snowmelt', 'monsoon'];

describe('verdictRankCorrelation', () => {
  it('with rivers that share only the season: high over the log, about nothing without the season', () => {
    const pairs = [1, 2, 3, 4, 5, 6].map((seed) => {
      const { aligned, record } = seasonWorld({ season: SEASONS[seed % 2], seed, visits: 70, years: 4, lagsHours: [0], storagesHours: [0] }); // prettier-ignore
      return verdictRankCorrelation(aligned, { record });
    });
    const mean = (of: (pair: (typeof pairs)[number]) => number) => pairs.reduce((sum, p) => sum + of(p), 0) / 6;
    expect(mean((p) => p.whole)).toBeGreaterThan(0.5);
    expect(Math.abs(mean((p) => p.withoutSeason))).toBeLessThan(0.2);
  });

  it('a gauge on the river itself keeps most of it', () => {
    const { aligned, record, creekLn } = seasonWorld({ season: 'monsoon', seed: 2, visits: 70, years: 2, lagsHours: [0], storagesHours: [0] }); // prettier-ignore
    const { whole, withoutSeason } = verdictRankCorrelation({ ...aligned, x: creekLn }, { record });
    expect(whole).toBeGreaterThan(0.9);
    expect(withoutSeason).toBeGreaterThan(0.7);
  });

  it('against another library, and by the partial formula', () => {
    const record = dailyRecord(Array.from({ length: 200 }, (_, d) => Math.exp(Math.sin(d / 30))));
    const start = Date.UTC(2020, 0, 1);
    // Readings without ties: the other library breaks ties by order.
    const five = Array.from({ length: 5 }, (_, i) => ({
      x: Math.sin(i * 1.7) + 0.01 * i,
      saw: [2, 0, 4, 1, 3][i % 5],
      timeMs: start + (10 + 29 * i) * DAY,
    }));
    const few = syntheticAligned(five, { classes: FIVE });
    const readings = five.map(({ x }) => x);
    const seen = five.map(({ saw }) => saw);
    const usual = Array.from(usualReadings(record, few.visitTimesMs));
    const { whole, withoutSeason, verdicts } = verdictRankCorrelation(few, { record });
    const vx = sampleRankCorrelation(seen, readings);
    const vs = sampleRankCorrelation(seen, usual);
    const xs = sampleRankCorrelation(readings, usual);
    expect(verdicts).toBe(5);
    expectClose(whole, vx, { rel: 1e-12, why: 'simple-statistics' });
    expectClose(withoutSeason, (vx - vs * xs) / Math.sqrt((1 - vs ** 2) * (1 - xs ** 2)), {
      rel: 1e-9,
      why: 'formula',
    });
  });

  it('too few verdicts, or a season that never moves', () => {
    const record = dailyRecord(new Array<number>(100).fill(2));
    const at = (day: number) => Date.UTC(2020, 0, 1) + day * DAY;
    const two = syntheticAligned([{ x: 1, saw: 0, timeMs: at(20) }, { x: 2, saw: 1, timeMs: at(30) }]); // prettier-ignore
    expect(verdictRankCorrelation(two, { record })).toEqual({ verdicts: 2, whole: NaN, withoutSeason: NaN });
    const flat = syntheticAligned([1, 2, 3, 4].map((x) => ({ x, saw: x, timeMs: at(10 * x) })));
    expect(verdictRankCorrelation(flat, { record })).toEqual({ verdicts: 4, whole: 1, withoutSeason: 1 });
  });
});

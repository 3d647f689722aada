import { describe, expect, it } from 'vitest';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { usualReadings } from '../../src/judge/seasonReading.js';
import { skillAgainstSeason } from '../../src/judge/skillAgainstSeason.js';
import { expectClose } from '../expectClose.js';
import { seasonWorld } from '../../tools/simulateSeasons/seasonWorld.js';
import { tallySeasons } from '../../tools/simulateSeasons/tallySeasons.js';
import { dailyRecord } from './dailyRecord.js';
import { DAY } from './syntheticRelation.js';

describe('usualReadings', () => {
  it('by hand: the median of fifteen days in one year', () => {
    // ln reading = day number; day 50 has days 43 to 57 around it, their median 50.
    const record = dailyRecord(Array.from({ length: 100 }, (_, d) => Math.exp(d / 10)));
    const [usual] = usualReadings(record, Float64Array.of(Date.UTC(2020, 0, 1) + 50 * DAY));
    expectClose(usual, 5, { rel: 1e-12, why: 'days 43 to 57' });
  });

  it('knows a pulse that lasts for more than half of its fifteen days, and no shorter one', () => {
    const pulse = (days: number) =>
      dailyRecord(Array.from({ length: 100 }, (_, d) => (Math.abs(d - 50) <= (days - 1) / 2 ? Math.E : 1)));
    const at = Float64Array.of(Date.UTC(2020, 0, 1) + 50 * DAY);
    expect([7, 9].map((days) => usualReadings(pulse(days), at)[0])).toEqual([0, 1]);
  });

  it('takes all years together, passes over what is missing, and knows nothing of a season without readings', () => {
    const days = 365 * 2 + 1;
    const record = dailyRecord(Array.from({ length: days }, (_, d) => (d % 2 === 0 ? NaN : d < 366 ? 1 : Math.E ** 2)));
    const [usual] = usualReadings(record, Float64Array.of(Date.UTC(2021, 5, 1)));
    // As many days at 0 as at 2, or one more of either.
    expect([0, 1, 2]).toContain(Math.round(usual));
    const winter = dailyRecord([1, 2, 3]);
    expect(usualReadings(winter, Float64Array.of(Date.UTC(2020, 6, 1)))[0]).toBeNaN();
    expect(usualReadings(dailyRecord([]), Float64Array.of(0))[0]).toBeNaN();
  });
});

describe('skillAgainstSeason', () => {
  it('a gauge on the river itself knows more than the season; one over the hill does not', () => {
    const world = seasonWorld({
      season: 'snowmelt',
      seed: 3,
      visits: 50,
      years: 2,
      lagsHours: [0],
      storagesHours: [0],
    });
    const fitted = fitLevels(world.aligned, { modes: ['one-reading'], draws: 200 })['one-reading'];
    const hill = skillAgainstSeason({ fit: fitted, aligned: world.aligned }, { record: world.record, seed: 1 })!;
    expect(hill.i90[0]!).toBeLessThan(0);
    expect(hill.value).toBeLessThan(hill.i90[1]!);
    // The same log read from the creek's own state.
    const own = { ...world.aligned, x: world.creekLn.map((v) => v + Math.log(5)) };
    const fit = fitLevels(own, { modes: ['one-reading'], draws: 200 })['one-reading'];
    const itself = skillAgainstSeason({ fit, aligned: own }, { record: world.record, seed: 1 })!;
    expect(itself.i90[0]!).toBeGreaterThan(0.1);
    expect(skillAgainstSeason({ fit, aligned: own }, { record: world.record, seed: 1 })).toEqual(itself);
  });
});

// The small twin of tools/simulate.ts, whose 300 cases stand in validation/seasons.json.
describe('gauges that share a strong season and nothing else', () => {
  it('are not called usable, though they go with the creek all year', () => {
    const { usable, meanRankCorrelation } = tallySeasons(5, { firstSeed: 1, draws: 200 });
    // At one in fifty, two of five come about once in 250 tries.
    expect(usable).toBeLessThanOrEqual(1);
    expect(meanRankCorrelation).toBeGreaterThan(0.4);
  });
});

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SCREEN_RATE } from '../../src/judge/screen/falseDiscovery.js';
import { tallyScreen } from '../../tools/screen/tallyScreen.js';

type Tally = Awaited<ReturnType<typeof tallyScreen>>;

describe('gauges that say nothing', () => {
  const { worlds, rate } = JSON.parse(
    readFileSync(new URL('../../validation/screen.json', import.meta.url), 'utf8'),
  ) as { rate: number; worlds: readonly Tally[] };

  it('of 500 unrelated gauges under one season, one is recommended in at most 5 % of runs', () => {
    expect(rate).toBe(SCREEN_RATE);
    expect(worlds.map(({ season, runs, gauges }) => [season, runs, gauges])).toEqual([
      ['snowmelt', 200, 500],
      ['monsoon', 200, 500],
    ]);
    for (const { falselyRecommended, smallP } of worlds) {
      expect(falselyRecommended).toBeLessThanOrEqual(0.05);
      expect(smallP).toBeLessThan(0.065);
    }
  });

  it('the one that tells of a run is found among 500 in most logs of 80 visits, and in fewer of fewer visits', () => {
    for (const { found } of worlds) {
      expect(found['80']).toBeGreaterThan(0.7);
      expect(found['25']).toBeLessThan(found['40']!);
      expect(found['40']).toBeLessThan(found['80']!);
    }
  });

  it('a small twin: few pass by chance, and the one that tells does', async () => {
    const twin = await tallyScreen(6, { gauges: 12, season: 'monsoon', firstSeed: 61 });
    expect(twin.smallP).toBeLessThan(0.2);
    expect(twin.falselyRecommended).toBeLessThanOrEqual(1 / 6);
    // Two logs of eighty visits, each beside its own gauge.
    expect(twin.found['80']).toBeGreaterThanOrEqual(0.5);
  });
});

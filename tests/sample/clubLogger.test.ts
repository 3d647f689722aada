import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fitLogger } from '../../src/fit/logger/fitLogger.js';
import { readCreek } from '../../src/read/readCreek.js';
import { clubLogger, LOGGER_FROM, LOGGER_WEEKS } from '../../tools/sample/clubLogger.js';
import { SAMPLE_SEED } from '../../tools/sample/folder.js';
import { makeWorld } from '../../tools/sample/world.js';

const FOLDER = join(import.meta.dirname, '../../data-sample');
const file = (name: string) => ({ name, bytes: new Uint8Array(readFileSync(join(FOLDER, name))) });

describe('the logger under the put-in bridge', () => {
  const input = readCreek({
    creekJson: file('creek.json'),
    visits: file('visits.csv'),
    gaugeFiles: [
      'gauges/great-thrask.rdb',
      'gauges/pinnerel-brook.csv',
      'gauges/ostrell-2023.wml',
      'gauges/ostrell-2024.wml',
      'loggers/put-in-bridge.csv',
    ].map(file),
  });
  const [logger] = input.loggers!;

  it('is read for five weeks, a level every ten minutes but for the half hour of a battery change', () => {
    expect(input.loggers!.map((r) => [r.gauge, r.unit, r.stepMs / 60_000])).toEqual([['club-logger', 'm', 10]]);
    expect(logger!.values).toHaveLength(LOGGER_WEEKS * 7 * 144);
    expect(logger!.timesMs[0]).toBe(LOGGER_FROM);
    expect(logger!.values.filter((v) => Number.isNaN(v))).toHaveLength(3);
    expect(input.creek!.loggers!.map((l) => [l.run, l.kmFromPutIn])).toEqual([['lower', 0.1]]);
  });

  it('the logger finds that the brook leads the creek by a few hours, and the creek the larger river', () => {
    const grid = { lagsHours: Array.from({ length: 25 }, (_, i) => i - 12), storagesHours: [-12, -8, -5, 0, 3, 5, 8] };
    const fit = (gauge: string) =>
      fitLogger(
        logger!,
        input.records.find((r) => r.gauge === gauge)!,
        grid,
      );
    const brook = fit('flashy');
    expect(brook.status).toBe('converged');
    // Two runs of the channel and the front take 1.25 + 1.75 h, and the pools hold the water back for four hours more.
    expect(brook.lag.i95[0]).toBeGreaterThan(0);
    expect(brook.lag.median + Math.max(0, brook.storage.median)).toBeGreaterThan(2);
    expect(brook.lag.median + Math.max(0, brook.storage.median)).toBeLessThan(12);
    const river = fit('larger');
    // 2.25 h of travel and the flood plain's 8.5 h, less the 0.75 h by which the front is earlier there.
    expect(river.lag.i95[1]).toBeLessThan(0);
    expect(river.lag.i95[0]).toBeGreaterThan(-10);
  });

  it('comes out the same from the same seed', () => {
    const { file: made } = clubLogger(makeWorld(SAMPLE_SEED), { seed: SAMPLE_SEED });
    expect(made.text).toBe(readFileSync(join(FOLDER, made.name), 'utf8'));
    expect(made.text.split('\n')[0]).toBe('time,level_m,battery_v');
  });
});

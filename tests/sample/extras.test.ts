import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fitLogger } from '../../src/fit/logger/fitLogger.js';
import { readCreek } from '../../src/read/readCreek.js';
import { SAMPLE_SEED } from '../../tools/sample/folder.js';
import { DERIVED_EXTRAS, loggerExtra } from '../../tools/sample/extras.js';
import { makeWorld } from '../../tools/sample/world.js';

const FOLDER = join(import.meta.dirname, '../../data-sample');
const file = (name: string) => ({ name, bytes: new Uint8Array(readFileSync(join(FOLDER, name))) });
const bytes = (text: string) => new TextEncoder().encode(text);

describe('what the sample could hold besides: a logger and derived gauges', () => {
  const world = makeWorld(SAMPLE_SEED);
  const { entry, file: levels } = loggerExtra(world, { seed: SAMPLE_SEED });
  const creek = JSON.parse(new TextDecoder().decode(file('creek.json').bytes)) as Record<string, unknown>;
  const plain = {
    visits: file('visits.csv'),
    gaugeFiles: [
      'gauges/great-thrask.rdb',
      'gauges/pinnerel-brook.csv',
      'gauges/ostrell-2023.wml',
      'gauges/ostrell-2024.wml',
    ].map(file),
  };
  const withExtras = readCreek({
    ...plain,
    creekJson: {
      name: 'creek.json',
      bytes: bytes(JSON.stringify({ ...creek, derivedGauges: DERIVED_EXTRAS, loggers: [entry] })),
    },
    gaugeFiles: [...plain.gaugeFiles, { name: levels.name, bytes: bytes(levels.text) }],
  });

  it('is read without complaint, and leaves the official records as they are', () => {
    const before = readCreek({ ...plain, creekJson: file('creek.json') });
    const fatal = withExtras.issues.filter((issue) => issue.severity === 'fatal');
    expect(fatal).toEqual([]);
    expect(withExtras.records.map((r) => r.gauge)).toEqual([
      'larger',
      'flashy',
      'regulated',
      'brook-scaled',
      'both-rivers',
    ]);
    before.records.forEach((record, i) => expect(withExtras.records[i]!.values).toEqual(record.values));
    const [logger] = withExtras.loggers!;
    expect(logger!.values).toHaveLength(5040);
    expect(logger!.values.filter((v) => Number.isNaN(v))).toHaveLength(3);
  });

  it('the logger finds that the brook leads the creek by a few hours and the larger river does not', () => {
    const [logger] = withExtras.loggers!;
    const grid = { lagsHours: Array.from({ length: 25 }, (_, i) => i - 12), storagesHours: [-12, -8, -5, 0, 3, 5, 8] };
    const fit = (gauge: string) =>
      fitLogger(
        logger!,
        withExtras.records.find((r) => r.gauge === gauge)!,
        grid,
      );
    const brook = fit('flashy');
    expect(brook.status).toBe('converged');
    // Two runs of the channel and the front take 1.25 + 1.75 h, and the pools hold the water back for four hours more.
    expect(brook.lag.i95[0]).toBeGreaterThan(0);
    expect(brook.lag.median + Math.max(0, brook.storage.median)).toBeGreaterThan(2);
    expect(brook.lag.median + Math.max(0, brook.storage.median)).toBeLessThan(12);
    const river = fit('larger');
    expect(river.lag.median).toBeLessThan(brook.lag.median);
    expect(river.storage.median).toBeLessThan(0);
  });

  it('comes out the same from the same seed', () => {
    expect(loggerExtra(world, { seed: SAMPLE_SEED }).file.text).toBe(levels.text);
    expect(levels.text.split('\n')[0]).toBe('time,level_m,battery_v');
  });
});

import { createRandom } from '../../src/kernel/random.js';
import type { CreekInput } from '../../src/read/types.js';
import type { Creek } from '../../src/series/creek.js';
import type { Sighting, Visit } from '../../src/series/visits.js';
import { FROM, HOUR } from '../align/makeRecord.js';
import { loggerWorld } from '../fit/logger/loggerWorld.js';

const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];
const EDGES = [-0.3, 0.2, 0.7, 1.3];

/** Lag at the put-in; the logger stood an hour of wave travel below. */
export const LAG_HOURS = 3;

/** An invented creek whose visits are few and whose logger stood 3 km down the run for five weeks, with a wave of 3 km/h. */
export function loggerCreek({ seed = 1, visits: count = 16 }: { seed?: number; visits?: number } = {}): CreekInput {
  const { gauge, logger } = loggerWorld({ seed, lagHours: LAG_HOURS + 1, storageHours: 0 });
  const random = createRandom(seed + 100);
  const run = { id: 'gorge', name: 'the gorge', classes: CLASSES, features: [] };
  const place = { name: 'a place', files: [], format: 'delimited' as const };
  const creek: Creek = {
    schema: 1,
    name: 'Invented Creek',
    timeZone: 'UTC',
    waveSpeedKmH: 3,
    runs: [run],
    gauges: [{ ...place, id: gauge.gauge, parameter: 'discharge', unit: 'm3/s' }],
    loggers: [{ ...place, id: 'club', parameter: 'stage', unit: 'm', run: run.id, kmFromPutIn: 3 }],
    lagHours: { min: 0, max: 8 },
    storageHours: { min: 0, max: 8 },
  };
  const visits = Array.from({ length: count }, (_, i): Visit => {
    const hour = 60 + random.integer(gauge.values.length - 100);
    const state = Math.log(gauge.values[hour - LAG_HOURS] / 2) + 0.2 * random.normal();
    const sighting: Sighting = {
      row: i + 2,
      timeMs: FROM + hour * HOUR,
      giveOrTakeMin: 0,
      run: run.id,
      feature: 'verdict',
      classIndex: EDGES.filter((edge) => state > edge).length,
      value: NaN,
      observer: 'somebody',
      note: '',
    };
    return { id: `v${i}`, run: run.id, timeMs: sighting.timeMs, sightings: [sighting] };
  });
  return {
    kind: 'creek-input',
    creek,
    visits,
    records: [gauge],
    loggers: [{ ...logger, gauge: 'club' }],
    issues: [],
    files: [],
    counts: { sightingRows: count, sightingsUsed: count, gaugeRows: 0, gaugeValuesUsed: 0 },
  };
}

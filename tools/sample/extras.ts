import { stringify } from 'csv-stringify/sync';
import { HOUR, localMoment, localParts, MINUTE } from './clock.js';
import { STAFF } from './place.js';
import { randomStream } from './random.js';
import { flowAt, type World } from './world.js';

/**
 * What the sample folder does not hold yet: a club's level logger at the lower put-in for five weeks of the second spring, and gauges derived from the official ones. Both are entries
 * of creek.json and, for the logger, one more file; nothing else of the folder changes with them.
 */

/** Five weeks of snow melt and spring rain. */
export const LOGGER_FROM = localMoment('2024-04-20T12:00');
export const LOGGER_WEEKS = 5;
const STEP_MIN = 10;

/** The logger's zero lies somewhere in the pool: it knows no datum. */
const LOGGER = { baseM: 0.31, scaleM: 0.42, exponent: 0.5, wanderM: 0.004, noiseM: 0.002 } as const;

export interface LoggerExtra {
  /** Entry for `loggers` of creek.json. */
  readonly entry: Readonly<Record<string, unknown>>;
  readonly file: { readonly name: string; readonly text: string };
}

/** The logger's file as its software would write it: local standard time in a fixed zone, a point every ten minutes, one battery change. */
export function loggerExtra(world: World, { seed }: { seed: number }): LoggerExtra {
  const random = randomStream(seed, 'club logger');
  const rows: { time: string; level_m: string; battery_v: string }[] = [];
  let wander = 0;
  const count = Math.round((LOGGER_WEEKS * 7 * 24 * 60) / STEP_MIN);
  const changed = Math.floor(count * (0.4 + 0.2 * random.uniform()));
  for (let i = 0; i < count; i++) {
    const timeMs = LOGGER_FROM + i * STEP_MIN * MINUTE;
    // Silt and a stick that lodges for a while: a few millimetres that come and go over half a day.
    wander = 0.986 * wander + LOGGER.wanderM * Math.sqrt(1 - 0.986 ** 2) * random.normal();
    const flow = flowAt(world.runs.lower, timeMs - (STAFF.kmFromPutIn / 6) * HOUR);
    const level =
      LOGGER.baseM +
      LOGGER.scaleM * (flow / STAFF.referenceM3s) ** LOGGER.exponent +
      wander +
      LOGGER.noiseM * random.normal();
    // The battery is changed on the bank: half an hour without a level.
    const away = i >= changed && i < changed + 3;
    rows.push({
      time: localParts(timeMs, -7).text.replace('T', ' '),
      level_m: away ? '' : level.toFixed(3),
      battery_v: (3.6 - 0.3 * (i % changed) * (1 / count)).toFixed(2),
    });
  }
  return {
    entry: {
      id: 'club-logger',
      name: 'club logger under the put-in bridge',
      parameter: 'stage',
      unit: 'm',
      files: ['loggers/put-in-bridge.csv'],
      format: 'delimited',
      columns: { time: 'time', value: 'level_m' },
      datePattern: 'yyyy-MM-dd HH:mm',
      timeZone: 'Etc/GMT+7',
      run: 'lower',
      kmFromPutIn: STAFF.kmFromPutIn,
    },
    file: { name: 'loggers/put-in-bridge.csv', text: stringify(rows, { header: true }) },
  };
}

/** Entries for `derivedGauges` of creek.json: the brook scaled to the lower run's catchment, and what larger river and brook carry together. */
export const DERIVED_EXTRAS = Object.freeze([
  {
    id: 'brook-scaled',
    name: 'Pinnerel Brook scaled to the lower run',
    kind: 'area-scaled',
    of: ['flashy'],
    catchmentAreaKm2: 60,
  },
  {
    id: 'both-rivers',
    name: 'Great Thrask and Pinnerel Brook together',
    kind: 'sum',
    of: ['larger', 'flashy'],
    travelHours: [0, 6],
  },
]);

import { stringify } from 'csv-stringify/sync';
import { HOUR, localMoment, localParts, MINUTE } from './clock.js';
import { STAFF, WAVE_SPEED_KM_H } from './place.js';
import { randomStream } from './random.js';
import { flowAt, type World } from './world.js';

/** Five weeks of snow melt and spring rain. */
export const LOGGER_FROM = localMoment('2024-04-20T12:00');
export const LOGGER_WEEKS = 5;
const STEP_MIN = 10;

/** Level over its own zero, which lies somewhere in the pool: base + scale · (Q / the staff's reference)^exponent, m, with silt and sticks on top. */
export const LOGGER = {
  id: 'club-logger',
  baseM: 0.31,
  scaleM: 0.42,
  exponent: 0.5,
  wanderM: 0.004,
  noiseM: 0.002,
} as const;

export interface ClubLogger {
  /** Entry for `loggers` of creek.json. */
  readonly entry: Readonly<Record<string, unknown>>;
  readonly file: { readonly name: string; readonly text: string };
}

/** The logger's file as its software would write it: local standard time in a fixed zone, a point every ten minutes, one battery change. */
export function clubLogger(world: World, { seed }: { seed: number }): ClubLogger {
  const random = randomStream(seed, 'club logger');
  const rows: { time: string; level_m: string; battery_v: string }[] = [];
  let wander = 0;
  const count = Math.round((LOGGER_WEEKS * 7 * 24 * 60) / STEP_MIN);
  // On some afternoon of the third week.
  const changed = ((14 + Math.floor(7 * random.uniform())) * 24 + 2) * (60 / STEP_MIN);
  for (let i = 0; i < count; i++) {
    const timeMs = LOGGER_FROM + i * STEP_MIN * MINUTE;
    // Silt and a stick that lodges for a while: a few millimetres that come and go over half a day.
    wander = 0.986 * wander + LOGGER.wanderM * Math.sqrt(1 - 0.986 ** 2) * random.normal();
    const flow = flowAt(world.runs.lower, timeMs - (STAFF.kmFromPutIn / WAVE_SPEED_KM_H) * HOUR);
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
      battery_v: (3.6 - (0.3 * (i < changed ? i : i - changed)) / count).toFixed(2),
    });
  }
  return {
    entry: {
      id: LOGGER.id,
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

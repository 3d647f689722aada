import type { Creek, Run } from '../../src/series/creek.js';
import type { Sighting, Visit } from '../../src/series/visits.js';
import { FROM, HOUR } from './makeRecord.js';

/** Five words for a run, lowest first. */
export const LEVELS = ['too low', 'low', 'good', 'high', 'too high'];

export const run: Run = {
  id: 'gorge',
  name: 'the gorge',
  classes: LEVELS,
  features: [
    { id: 'ledge', name: 'first ledge', kmFromPutIn: 0, classes: ['dry', 'wet', 'covered'] },
    { id: 'rock', name: 'split rock', kmFromPutIn: 3, classes: ['dry', 'wet', 'covered'] },
    { id: 'staff', name: 'painted staff', kmFromPutIn: 6, unit: 'm' },
  ],
};

export const creek: Creek = {
  schema: 1,
  name: 'Invented Creek',
  timeZone: 'Europe/Berlin',
  runs: [run],
  gauges: [{ id: 'weir', name: 'the weir', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
};

/** What was seen, where and how many hours after the visit's time (default: the verdict, at that time, by Ann). */
export interface Look {
  readonly feature?: string;
  readonly saw?: number;
  readonly value?: number;
  readonly after?: number;
  readonly giveOrTakeMin?: number;
  readonly observer?: string;
}

let rows = 1;

/** A visit at an hour after FROM. */
export function makeVisit(id: string, hour: number, looks: readonly Look[], runId = run.id): Visit {
  const timeMs = FROM + hour * HOUR;
  const sightings = looks.map(
    ({ feature = 'verdict', saw, value = NaN, after = 0, giveOrTakeMin = 0, observer = 'Ann' }): Sighting => ({
      row: ++rows,
      timeMs: timeMs + after * HOUR,
      giveOrTakeMin,
      run: runId,
      feature,
      classIndex: saw ?? -1,
      value,
      observer,
      note: '',
    }),
  );
  return { id, run: runId, timeMs, sightings };
}

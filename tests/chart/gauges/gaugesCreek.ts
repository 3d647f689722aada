import { creekChart } from '../../../src/chart/creekChart.js';
import { deepFreeze } from '../../../src/chart/deepFreeze.js';
import type { FittedCreek } from '../../../src/chart/fitCreek.js';
import { finishGauges } from '../../../src/chart/gauges/finishGauges.js';
import { planGauges, planRankings } from '../../../src/chart/gauges/planGauges.js';
import { runGaugesTask } from '../../../src/chart/gauges/runGaugesTask.js';
import type { CreekGauges } from '../../../src/chart/gauges/types.js';
import type { ChartOptions } from '../../../src/chart/fitCreek.js';
import { createRandom } from '../../../src/kernel/random.js';
import type { CreekInput } from '../../../src/read/types.js';
import type { Creek } from '../../../src/series/creek.js';
import type { GaugeRecord } from '../../../src/series/gaugeRecord.js';
import { FROM, HOUR } from '../../align/makeRecord.js';
import { makeWorld, type World } from '../../fit/world.js';

/** Small grids and few draws: these tests look at what is said, not at its third digit. */
export const SMALL: ChartOptions = {
  draws: 200,
  seed: 3,
  lagHours: { min: 0, max: 6 },
  storageHours: { min: -3, max: 3 },
};

/** Where the logger stood, and for how long. */
export const LOGGER = { fromHour: 600, hours: 30 * 24 } as const;

/**
 * An invented creek with all that gauges.json tells of: a weir that knows the creek three hours before, a mill brook that has weather of its own, a stage gauge of the weir's
 * water, a staff, and a logger for thirty days.
 */
export function gaugesCreek({ visits = 36, days = 200 }: { visits?: number; days?: number } = {}): CreekInput {
  const world = makeWorld({ seed: 12, visits, days, staff: true });
  const mill = { ...makeWorld({ seed: 77, visits: 3, days }).record, gauge: 'mill', name: 'the mill brook' };
  const place = { files: [], format: 'delimited' as const };
  const creek: Creek = {
    ...world.creek,
    gauges: [
      {
        ...place,
        id: 'weir',
        name: 'the weir',
        parameter: 'discharge',
        unit: 'm3/s',
        catchmentAreaKm2: 120,
        reach: { lies: 'upstream', lengthKm: 14, slope: 0.008 },
      },
      { ...place, id: 'mill', name: 'the mill brook', parameter: 'discharge', unit: 'm3/s', catchmentAreaKm2: 40 },
    ],
    loggers: [
      { ...place, id: 'club', name: 'club logger', parameter: 'stage', unit: 'm', run: 'gorge', kmFromPutIn: 0.6 },
      { ...place, id: 'lost', name: 'lost logger', parameter: 'stage', unit: 'm', run: 'gorge' },
    ],
  };
  return {
    kind: 'creek-input',
    creek,
    visits: world.visits,
    records: [world.record, mill],
    loggers: [loggerOf(world)],
    issues: [],
    files: [],
    counts: { sightingRows: 2 * visits, sightingsUsed: 2 * visits, gaugeRows: 0, gaugeValuesUsed: 0 },
  };
}

/** A level that follows the weir three hours later, with a little memory of its own, and a pause of ten hours. */
function loggerOf({ record }: World): GaugeRecord {
  const random = createRandom(5);
  let error = 0;
  const hours = Array.from({ length: LOGGER.hours }, (_, i) => LOGGER.fromHour + i).filter(
    (_, i) => i < 300 || i >= 310,
  );
  const values = hours.map((hour) => {
    error = 0.9 * error + 0.004 * random.normal();
    return 0.2 + 0.15 * Math.sqrt(record.values[hour - 3]!) + error;
  });
  return {
    ...record,
    gauge: 'club',
    name: 'club logger',
    parameter: 'stage',
    unit: 'm',
    timesMs: Float64Array.from(hours, (hour) => FROM + hour * HOUR),
    values: Float64Array.from(values),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
  };
}

/** What gauges.json holds, here and now. */
export function gaugesNow(fitted: FittedCreek, depth: 'quick' | 'full' = 'full'): CreekGauges {
  const chart = creekChart(fitted);
  const plans = [planRankings(fitted, { depth }), planGauges(fitted, chart, { depth })];
  const results = plans.flatMap(({ context, tasks }) => tasks.map((task) => runGaugesTask(context, task)));
  return deepFreeze(finishGauges(fitted, chart, results));
}

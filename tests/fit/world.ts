import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import type { Sighting, Visit } from '../../src/series/visits.js';
import { createRandom } from '../../src/kernel/random.js';
import { FROM, HOUR, makeRecord } from '../align/makeRecord.js';
import { LEVELS } from '../align/makeVisits.js';

/** Edges of the verdict in ln units around the mean ln flow. */
export const EDGES = [-0.9, -0.3, 0.4, 1.2];

export interface World {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly visits: readonly Visit[];
  /** Mean of ln flow over the record: edges lie at this plus EDGES. */
  readonly mean: number;
}

export interface WorldOptions {
  readonly seed?: number;
  readonly visits?: number;
  /** Days of record. */
  readonly days?: number;
  readonly lagHours?: number;
  readonly mismatch?: number;
  readonly blur?: number;
  readonly observers?: number;
  readonly classes?: readonly string[];
  readonly edges?: readonly number[];
  /** Also a ledge of three classes, and a painted staff. */
  readonly ledge?: boolean;
  readonly staff?: boolean;
  readonly giveOrTakeMin?: number;
}

/** An hourly record with a rise every week or so, and visits that saw the same water `lagHours` after the gauge. */
export function makeWorld({
  seed = 1,
  visits: count = 30,
  days = 150,
  lagHours = 3,
  mismatch = 0.2,
  blur = 0.15,
  observers = 3,
  classes = LEVELS,
  edges = EDGES,
  ledge = false,
  staff = false,
  giveOrTakeMin = 0,
}: WorldOptions = {}): World {
  const random = createRandom(seed);
  const hours = 24 * days;
  const ln = new Float64Array(hours);
  let rising = 0;
  for (let t = 1; t < hours; t++) {
    if (random.uniform() < 1 / 120) rising = 4 + random.integer(6);
    ln[t] = 0.98 * ln[t - 1] + (rising-- > 0 ? 0.3 : 0) + 0.004 * random.normal();
  }
  const mean = ln.reduce((a, b) => a + b, 0) / hours;
  const record = makeRecord(
    ln.map((v) => Math.exp(v + 1.5)),
    { maxGapMs: 3 * HOUR },
  );
  const run: Run = {
    id: 'gorge',
    name: 'the gorge',
    classes,
    features: [
      ...(ledge ? [{ id: 'ledge', name: 'first ledge', kmFromPutIn: 0, classes: ['dry', 'wet', 'covered'] }] : []),
      ...(staff ? [{ id: 'staff', name: 'painted staff', kmFromPutIn: 0, unit: 'cm' }] : []),
    ],
  };
  const creek: Creek = {
    schema: 1,
    name: 'Invented Creek',
    timeZone: 'UTC',
    runs: [run],
    gauges: [{ id: 'weir', name: 'the weir', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
  let row = 1;
  const visits = Array.from({ length: count }, (_, i): Visit => {
    const hour = 80 + random.integer(hours - 160);
    const timeMs = FROM + hour * HOUR;
    const state = ln[hour - lagHours] - mean + mismatch * random.normal();
    const look = (feature: string, saw: { classIndex: number } | { value: number }): Sighting => ({
      row: ++row,
      timeMs,
      giveOrTakeMin,
      run: run.id,
      feature,
      classIndex: -1,
      value: NaN,
      observer: `observer ${i % observers}`,
      note: '',
      ...saw,
    });
    const classOf = (at: readonly number[]) => {
      const seen = state + blur * random.normal();
      return { classIndex: at.filter((e) => seen > e).length };
    };
    return {
      id: `v${String(i).padStart(3, '0')}`,
      run: run.id,
      timeMs,
      sightings: [
        look('verdict', classOf(edges)),
        ...(ledge ? [look('ledge', classOf([-0.5, 0.6]))] : []),
        ...(staff ? [look('staff', { value: 20 + 30 * Math.exp(state / 1.7) + 2 * random.normal() })] : []),
      ],
    };
  });
  return { creek, run, record, visits, mean: mean + 1.5 };
}

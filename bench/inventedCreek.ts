import type { Creek, Run } from '../src/series/creek.js';
import type { GaugeRecord } from '../src/series/gaugeRecord.js';
import type { Sighting, Visit } from '../src/series/visits.js';
import { createRandom } from '../src/kernel/random.js';

const HOUR = 3_600_000;
const FROM = Date.UTC(2031, 0, 1);
const EDGES = [-0.8, -0.2, 0.4, 1.1];

/**
 * Two years of an hourly record with a rise every eleven days, and visits that saw the same water 3 h later, slowed by
 * nothing: mismatch 0.2, blur 0.15. Every visit has a verdict and three features of five classes.
 */
export function inventedCreek(visitCount: number): {
  creek: Creek;
  run: Run;
  record: GaugeRecord;
  visits: readonly Visit[];
} {
  const random = createRandom(7);
  const hours = 2 * 365 * 24;
  const ln = new Float64Array(hours);
  for (let t = 1; t < hours; t++) {
    const rise = t % 264 < 8 ? 0.25 + 0.1 * Math.sin(t / 1000) : 0;
    ln[t] = ln[t - 1]! * 0.985 + rise + 0.01 * random.normal();
  }
  const record: GaugeRecord = {
    kind: 'gauge-record',
    gauge: 'g',
    name: 'invented gauge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(ln, (_, t) => FROM + t * HOUR),
    values: ln.map((value) => 10 * Math.exp(value)),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: hours, provisional: 0, unknown: 0 },
    codes: {},
  };
  const classes = ['a', 'b', 'c', 'd', 'e'];
  const features = ['f1', 'f2', 'f3'].map((id) => ({ id, name: id, classes, kmFromPutIn: 0 }));
  const run: Run = { id: 'r', name: 'r', classes, features };
  const creek: Creek = {
    schema: 1,
    name: 'invented',
    timeZone: 'UTC',
    runs: [run],
    gauges: [{ id: 'g', name: 'g', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
  const mean = ln.reduce((a, b) => a + b, 0) / hours;
  const visits = Array.from({ length: visitCount }, (_, i): Visit => {
    const t = 100 + random.integer(hours - 200);
    const timeMs = FROM + t * HOUR;
    const state = ln[t - 3]! - mean + 0.2 * random.normal();
    const sightings = ['verdict', 'f1', 'f2', 'f3'].map((feature, f): Sighting => {
      const seen = state + 0.15 * random.normal();
      const classIndex = EDGES.filter((edge) => seen > edge).length;
      return {
        row: 4 * i + f + 2,
        timeMs,
        giveOrTakeMin: 0,
        run: 'r',
        feature,
        classIndex,
        value: NaN,
        observer: `o${i % 6}`,
        note: '',
      };
    });
    return { id: `v${i}`, run: 'r', timeMs, sightings };
  }).sort((a, b) => a.timeMs - b.timeMs);
  return { creek, run, record, visits };
}

import { reservoirSeries } from '../../../src/align/reservoirSeries.js';
import { createRandom } from '../../../src/kernel/random.js';
import type { GaugeRecord } from '../../../src/series/gaugeRecord.js';
import { makeRecord } from '../../align/makeRecord.js';

export interface LoggerWorld {
  readonly seed?: number;
  readonly lagHours?: number;
  readonly storageHours?: number;
  /** Days of the logger, in the middle of a record of 120 days. */
  readonly days?: number;
  /** Stationary sd of the creek's own wandering, ln units, and what an hour of it leaves. */
  readonly mismatch?: number;
  readonly memory?: number;
  /** Each flood's size at the creek differs by this (ln sd). */
  readonly floodSd?: number;
}

/** A gauge's hourly record and a logger at the creek: level = 0.4 + 0.6·flow^(1/1.8) of the routed water, m. */
export function loggerWorld({
  seed = 1,
  lagHours = 3,
  storageHours = 5,
  days = 35,
  mismatch = 0.08,
  memory = 0.97,
  floodSd = 0,
}: LoggerWorld = {}): { logger: GaugeRecord; gauge: GaugeRecord; all: Float64Array; from: number } {
  const random = createRandom(seed);
  const hours = 24 * 120;
  const ln = new Float64Array(hours);
  const shareOf = new Float64Array(hours);
  let rising = 0;
  let share = 0;
  for (let t = 1; t < hours; t++) {
    if (rising <= 0 && random.uniform() < 1 / 110) {
      rising = 4 + random.integer(6);
      share = floodSd * random.normal();
    }
    ln[t] = 0.98 * ln[t - 1] + (rising-- > 0 ? 0.28 : 0) + 0.003 * random.normal();
    shareOf[t] = 0.9 * shareOf[t - 1] + 0.1 * share;
  }
  const gauge = makeRecord(ln.map((v) => 2 * Math.exp(v)));
  const routed = reservoirSeries(gauge, storageHours);
  const all = new Float64Array(hours).fill(NaN);
  let wander = 0;
  for (let t = 100; t < hours; t++) {
    wander = memory * wander + Math.sqrt(1 - memory * memory) * mismatch * random.normal();
    const e = routed[t - lagHours] * Math.exp(wander + shareOf[t - lagHours]);
    all[t] = 0.4 + 0.6 * (e / 2) ** (1 / 1.8) + 0.002 * random.normal();
  }
  const from = 40 * 24;
  const window = all.subarray(from, from + 24 * days);
  const logger = makeRecord(window, {
    hours: Array.from(window, (_, i) => from + i),
    gauge: 'logger',
    name: 'the club’s logger',
    parameter: 'stage',
    unit: 'm',
  });
  return { logger, gauge, all, from };
}

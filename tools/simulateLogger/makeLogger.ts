import { createRandom, splitSeed } from '../../src/kernel/random.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { readAt, WAVE_SPEED_KM_H, type SimulatedCreek } from '../simulate/makeCreek.js';
import { HOUR, HOURS, START } from '../simulate/rainRecord.js';

/** Where it stands, km down the run. */
export const LOGGER_KM = 1.5;
const LOGGER_DAYS = 35;

/** What an hour leaves of the creek's own wandering: a memory of a day and a half. */
const MEMORY = 0.97;

/**
 * Five weeks of a logger at a simulated creek, somewhere in its year: level = 0.4 + 0.6·(water/its mean)^(1/1.8) m, of the routed gauge at the logger's place, around which
 * the creek wanders with the mismatch of its visits and a memory of its own.
 *
 * @param options.laterHours the weeks of the logger run later than the visits' year by this.
 */
export function makeLogger(
  { record, truth }: SimulatedCreek,
  { seed, laterHours = 0 }: { seed: number; laterHours?: number },
): GaugeRecord {
  const random = createRandom(splitSeed(seed, 'logger'));
  const { storageHours, mismatch } = truth;
  const x = readAt(record, { lagHours: truth.lagHours + LOGGER_KM / WAVE_SPEED_KM_H + laterHours, storageHours });
  const count = 24 * LOGGER_DAYS;
  const from = 500 + random.integer(HOURS - count - 600);
  const timesMs = Float64Array.from({ length: count }, (_, i) => START + (from + i) * HOUR);
  const water = Array.from(timesMs, x);
  const middle = water.reduce((sum, v) => sum + v, 0) / count;
  let wander = mismatch * random.normal();
  return {
    kind: 'gauge-record',
    gauge: 'logger',
    name: 'logger',
    parameter: 'stage',
    unit: 'm',
    timesMs,
    values: Float64Array.from(water, (v) => {
      wander = MEMORY * wander + Math.sqrt(1 - MEMORY * MEMORY) * mismatch * random.normal();
      return 0.4 + 0.6 * Math.exp((v + wander - middle) / 1.8) + 0.002 * random.normal();
    }),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: count },
    codes: {},
  };
}

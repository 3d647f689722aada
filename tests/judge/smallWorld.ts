import { floodOfVisits } from '../../src/align/floods.js';
import type { Aligned } from '../../src/align/types.js';
import { createRandom } from '../../src/kernel/random.js';
import type { Random } from '../../src/kernel/random.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { FIVE, HOUR, syntheticAligned } from './syntheticRelation.js';

/**
 * A small invented world: two rivers in ln units, hour by hour. Both have the same seasons (a wet half year); floods come at random, more of them in
 * the wet half. `related`: the creek has the gauge's floods two hours later, each with its own share, and a wandering of its own. `seasons`: the creek has
 * floods of its own.
 */
export interface SmallWorld {
  readonly kind: 'related' | 'seasons';
  readonly seed: number;
  readonly visits: number;
  /** Length of the log, days. */
  readonly days: number;
  /** Size of what the creek has for itself, ln units. */
  readonly mismatch?: number;
}

const RISE_HOURS = 5;
const RECESSION_HOURS = 45;
const LAG_HOURS = 2;
const BLUR = 0.1;

interface Flood {
  readonly hour: number;
  readonly size: number;
}

export function smallWorld({ kind, seed, visits, days, mismatch = 0.2 }: SmallWorld): Aligned {
  const random = createRandom(seed);
  const hours = days * 24;
  const gaugeFloods = randomFloods(random, hours);
  const gauge = river(gaugeFloods, hours);
  const creekFloods =
    kind === 'related'
      ? gaugeFloods.map((f) => ({ hour: f.hour + LAG_HOURS, size: f.size * Math.exp(mismatch * random.normal()) }))
      : randomFloods(random, hours);
  const creek = river(creekFloods, hours);
  let wander = 0;
  for (let h = 0; h < hours; h++) {
    // The creek's own wandering: an hour forgets a hundredth of it.
    wander = 0.99 * wander + Math.sqrt(1 - 0.99 ** 2) * mismatch * random.normal();
    creek[h] += wander;
  }
  const sorted = creek.slice().sort();
  const edges = [0.45, 0.65, 0.88, 0.97].map((p) => sorted[Math.floor(p * hours)]);
  const times = visitHours(random, { creek, from: edges[0], visits });
  const record: GaugeRecord = {
    kind: 'gauge-record',
    gauge: 'bridge',
    name: 'the bridge',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from({ length: hours }, (_, h) => h * HOUR),
    values: gauge.map(Math.exp),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: hours },
    codes: {},
  };
  const flood = floodOfVisits(
    record,
    Float64Array.from(times, (h) => h * HOUR),
  );
  return syntheticAligned(
    times.map((h, i) => ({
      x: (lag) => gauge[Math.max(0, h - lag)],
      saw: edges.filter((e) => e < creek[h] + BLUR * random.normal()).length,
      flood: flood[i],
      timeMs: h * HOUR,
    })),
    { classes: FIVE, lags: [0, 2, 4], storages: [0] },
  );
}

function randomFloods(random: Random, hours: number): Flood[] {
  const out: Flood[] = [];
  for (let hour = 0; hour < hours;) {
    // Every five days in the wet half year, every fifteen in the dry one.
    hour += Math.ceil(-Math.log(random.uniform()) * (wetness(hour) > 0 ? 5 : 15) * 24);
    out.push({ hour, size: 0.4 + 1.6 * random.uniform() });
  }
  return out;
}

function wetness(hour: number): number {
  return Math.sin((2 * Math.PI * hour) / (365.2425 * 24));
}

function river(floods: readonly Flood[], hours: number): Float64Array {
  const out = Float64Array.from({ length: hours }, (_, h) => 0.3 * wetness(h));
  for (const { hour, size } of floods)
    for (let h = hour; h < Math.min(hours, hour + 8 * RECESSION_HOURS); h++)
      out[h] += size * Math.min(1, (h - hour) / RISE_HOURS) * Math.exp(-(h - hour) / RECESSION_HOURS);
  return out;
}

/** Hours between 8 and 18, at least six apart; 25 times as likely once the creek is near its first edge: people log when it runs. */
function visitHours(
  random: Random,
  { creek, from, visits }: { creek: Float64Array; from: number; visits: number },
): number[] {
  const chosen = new Set<number>();
  while (chosen.size < visits) {
    const h = 24 + random.integer(creek.length - 24);
    if (h % 24 < 8 || h % 24 > 18 || random.uniform() > (creek[h] > from - 0.2 ? 1 : 0.04)) continue;
    if ([...chosen].every((other) => Math.abs(other - h) >= 6)) chosen.add(h);
  }
  return [...chosen].sort((a, b) => a - b);
}

import { alignVisits } from '../../src/align/alignVisits.js';
import type { GaugeCandidate } from '../../src/judge/gauges/types.js';
import { createRandom, type Random } from '../../src/kernel/random.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';

const HOUR = 3_600_000;
const FROM = Date.UTC(2031, 0, 1);

/**
 * `right`: one gauge has the creek's floods two hours earlier, each with a share of its own; the others have the same seasons and weather of their own.
 * `none`: all have weather of their own. `two`: the creek's state is the mean of two gauges' (ln units), neither of which is much use alone.
 */
export interface GaugeWorld {
  readonly kind: 'right' | 'none' | 'two';
  readonly seed: number;
  readonly visits: number;
  /** Gauges with weather of their own. */
  readonly noise: number;
  /** Length of the log, days; default 900. */
  readonly days?: number;
  /** Size of what the creek has for itself, ln units; default 0.3. */
  readonly mismatch?: number;
}

const LAG_HOURS = 2;
const BLUR = 0.12;
const RISE_HOURS = 5;
const RECESSION_HOURS = 45;
const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];
const RUN: Run = { id: 'main', name: 'the run', classes: CLASSES, features: [] };
const CREEK: Creek = { schema: 1, name: 'Invented Creek', timeZone: 'UTC', runs: [RUN], gauges: [] };

/** Lags and storages that are tried: few, so that hundreds of worlds can be fitted. */
const GRID = { lagsHours: [0, 2, 4, 6], storagesHours: [0, 8] };

/** The candidates of one invented creek: those with ids `right…` know its weather, those with `noise…` know its seasons. */
export function gaugeWorld({
  kind,
  seed,
  visits: count,
  noise,
  days = 900,
  mismatch = 0.3,
}: GaugeWorld): GaugeCandidate[] {
  const random = createRandom(seed);
  const hours = 24 * days;
  const right = Array.from({ length: kind === 'two' ? 2 : 1 }, () => river(randomFloods(random, hours), hours));
  const own = Array.from({ length: noise }, () => river(randomFloods(random, hours), hours));
  const creek = new Float64Array(hours);
  let wander = 0;
  for (let h = 0; h < hours; h++) {
    // The creek's own wandering: an hour forgets a hundredth of it.
    wander = 0.99 * wander + Math.sqrt(1 - 0.99 ** 2) * mismatch * random.normal();
    for (const gauge of right) creek[h] += gauge[Math.max(0, h - LAG_HOURS)] / right.length;
    creek[h] += wander;
  }
  const visits = logOf(random, { creek, count });
  const named = [
    ...(kind === 'none' ? [] : right.map((ln, i) => ({ id: `right ${i + 1}`, ln }))),
    ...own.map((ln, i) => ({ id: `noise ${i + 1}`, ln })),
  ];
  return named.map(({ id, ln }) => ({
    id,
    name: id,
    kind: 'single' as const,
    aligned: alignVisits({ creek: CREEK, run: RUN, record: recordOf(id, ln), visits }, GRID),
  }));
}

function recordOf(gauge: string, ln: Float64Array): GaugeRecord {
  return {
    kind: 'gauge-record',
    gauge,
    name: gauge,
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(ln, (_, h) => FROM + h * HOUR),
    values: ln.map((v) => 5 * Math.exp(v)),
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: 0, provisional: 0, unknown: ln.length },
    codes: {},
  };
}

function wetness(hour: number): number {
  return Math.sin((2 * Math.PI * hour) / (365.2425 * 24));
}

/** Every five days in the wet half year, every fifteen in the dry one. */
function randomFloods(random: Random, hours: number): { hour: number; size: number }[] {
  const out: { hour: number; size: number }[] = [];
  for (let hour = 0; hour < hours;) {
    hour += Math.ceil(-Math.log(random.uniform()) * (wetness(hour) > 0 ? 5 : 15) * 24);
    out.push({ hour, size: 0.4 + 1.6 * random.uniform() });
  }
  return out;
}

/** ln flow: the season, and a rise and recession for each flood. */
function river(floods: readonly { hour: number; size: number }[], hours: number): Float64Array {
  const out = Float64Array.from({ length: hours }, (_, h) => 0.4 * wetness(h));
  for (const { hour, size } of floods)
    for (let h = hour; h < Math.min(hours, hour + 8 * RECESSION_HOURS); h++)
      out[h] += size * Math.min(1, (h - hour) / RISE_HOURS) * Math.exp(-(h - hour) / RECESSION_HOURS);
  return out;
}

/** Visits between 8 and 18, at least six hours apart; many times as likely once the creek runs. */
function logOf(random: Random, { creek, count }: { creek: Float64Array; count: number }): Visit[] {
  const sorted = creek.slice().sort();
  const edges = [0.45, 0.65, 0.88, 0.97].map((p) => sorted[Math.floor(p * creek.length)]);
  const chosen: number[] = [];
  while (chosen.length < count) {
    const h = 100 + random.integer(creek.length - 100);
    if (h % 24 < 8 || h % 24 > 18 || random.uniform() > (creek[h] > edges[0] - 0.2 ? 1 : 0.04)) continue;
    if (chosen.every((other) => Math.abs(other - h) >= 6)) chosen.push(h);
  }
  return chosen
    .sort((a, b) => a - b)
    .map((h, i) => {
      const timeMs = FROM + h * HOUR;
      const seen = creek[h] + BLUR * random.normal();
      const sighting = {
        row: i + 2,
        timeMs,
        giveOrTakeMin: 0,
        run: RUN.id,
        feature: VERDICT,
        classIndex: edges.filter((e) => e < seen).length,
        value: NaN,
        observer: 'ida',
        note: '',
      };
      return { id: `v${i}`, run: RUN.id, timeMs, sightings: [sighting] };
    });
}

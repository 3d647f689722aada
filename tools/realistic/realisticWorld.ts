import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import { quantile } from '../../src/kernel/quantile.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Visit } from '../../src/series/visits.js';
import { probitPlace } from '../validate/probitPlace.js';
import { HOUR, START } from '../simulate/rainRecord.js';

/** Hours of a season that is logged, and of the ones after it. */
const LOGGED = 9_000;
const LATER = 18_000;
/** Sd of a drift whose correlation falls to 1/e over so many hours, and of an error shared by a flood. */
const DRIFT = { sd: 0.2, hours: 6 * 168 };
const FLOOD_SD = 0.1;
const BLUR = 0.12;
const BIAS_SD = 0.08;
/** A moment when the creek is above its first edge, or this near below, is logged so much likelier than a drier one. */
const WHEN_IT_RUNS = 25;
const NEAR = 0.3;
const GROSS = 1 / 50;
const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];
/** Shares of all hours below the edges. */
const EDGE_POINTS = [0.7, 0.82, 0.92, 0.975];

/**
 * A creek that is no member of the model: rain falls on two basins that route it in their own ways, and part of what sets them apart lasts for
 * a flood or for weeks. Three observers with biases log a verdict, mostly when it runs, and one word in fifty is any word.
 */
export interface RealisticWorld {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly visits: readonly Visit[];
  /** ln of the creek's state, drift and all, by hour of the record; its edges. */
  readonly state: Float64Array;
  readonly edges: readonly number[];
  /** Hours of daylight after the log. */
  readonly laterMs: Float64Array;
}

export function realisticWorld({ visits: count, seed }: { visits: number; seed: number }): RealisticWorld {
  const random = createRandom(splitSeed(seed, `realistic/${count}`));
  const hours = LOGGED + LATER;
  const shared = rain(random, hours);
  const ownShare = 0.15 + 0.35 * random.uniform();
  const gauge = basin(random, { shared, ownShare: 0.15, fastHours: 14 + 14 * random.uniform() });
  const creekLn = basin(random, { shared, ownShare, fastHours: 6 + 10 * random.uniform() });
  const drift = ornsteinUhlenbeck(random, { ...DRIFT, count: hours });
  const floods = ornsteinUhlenbeck(random, { sd: FLOOD_SD, hours: 72, count: hours });
  const state = creekLn.map((v, t) => v + drift[t] + floods[t]);
  const sorted = creekLn.slice().sort();
  const edges = EDGE_POINTS.map((p) => sorted[Math.floor(p * hours)]);
  const bias = [0, 1, 2].map(() => BIAS_SD * random.normal());
  const chosen = new Set<number>();
  while (chosen.size < count) {
    const t = 400 + random.integer(LOGGED - 500);
    const runs = state[t] > edges[0] - NEAR;
    if (!isDaylight(t) || random.uniform() > (runs ? 1 : 1 / WHEN_IT_RUNS)) continue;
    if ([...chosen].every((other) => Math.abs(other - t) >= 6)) chosen.add(t);
  }
  const visits = [...chosen]
    .sort((a, b) => a - b)
    .map((t, i): Visit => {
      const observer = random.integer(3);
      const seen = state[t] + bias[observer] + BLUR * random.normal();
      const classIndex = random.uniform() < GROSS ? random.integer(5) : edges.filter((e) => seen > e).length;
      const timeMs = START + t * HOUR;
      const sighting = { row: i + 2, timeMs, giveOrTakeMin: 0, run: 'main', feature: VERDICT, classIndex, value: NaN };
      return { id: `v${i}`, run: 'main', timeMs, sightings: [{ ...sighting, observer: `${observer}`, note: '' }] };
    });
  const run: Run = { id: 'main', name: 'main', classes: CLASSES, features: [] };
  return {
    creek: {
      schema: 1,
      name: 'simulated',
      timeZone: 'UTC',
      lagHours: { min: -12, max: 12 },
      runs: [run],
      gauges: [{ id: 'g', name: 'g', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
    },
    run,
    record: {
      kind: 'gauge-record',
      gauge: 'g',
      name: 'g',
      parameter: 'discharge',
      unit: 'm3/s',
      timesMs: Float64Array.from({ length: hours }, (_, t) => START + t * HOUR),
      values: gauge.map(Math.exp),
      stepMs: HOUR,
      maxGapMs: 3 * HOUR,
      approval: { approved: hours, provisional: 0, unknown: 0 },
      codes: {},
    },
    visits,
    state,
    edges,
    laterMs: Float64Array.from({ length: LATER - 200 }, (_, t) => LOGGED + 100 + t)
      .filter((t) => isDaylight(t) && t % 3 === 0)
      .map((t) => START + t * HOUR),
  };
}

/** Class of the creek at a time of the record, by an observer without bias. */
export function classAt({ state, edges }: RealisticWorld, timeMs: number): number {
  const t = Math.round((timeMs - START) / HOUR);
  return edges.filter((e) => state[t] > e).length;
}

/** Weight of an hour: all daylight alike, or as visits are drawn. */
export type Estimand = 'daylight' | 'asDrawn';

/**
 * Where on the gauge's ln scale, `lag` hours before, the creek is as often above edge k as below: a probit line through the daylight of all
 * three years, each hour weighted by the estimand.
 */
export function trueEdge(
  { state, edges, record }: RealisticWorld,
  { k, lag, estimand }: { k: number; lag: number; estimand: Estimand },
): number {
  const hours = Array.from({ length: state.length - 550 }, (_, h) => h + 500).filter(
    (t) => isDaylight(t) && t % 3 === 0,
  );
  const seen = hours.map((t) => ({
    x: Math.log(record.values[Math.round(t - lag)]),
    above: state[t] > edges[k],
    weight: estimand === 'daylight' || state[t] > edges[0] - NEAR ? 1 : 1 / WHEN_IT_RUNS,
  }));
  return probitPlace(
    seen,
    quantile(
      Float64Array.from(seen, ({ x }) => x),
      EDGE_POINTS[k],
    ),
  );
}

function isDaylight(t: number): boolean {
  return t % 24 >= 8 && t % 24 <= 18;
}

function rain(random: Random, hours: number): Float64Array {
  const out = new Float64Array(hours);
  let wet = 0;
  for (let t = 0; t < hours; t++) {
    if (random.uniform() < 1 / 110) wet = 3 + random.integer(14);
    out[t] = wet-- > 0 ? -Math.log(random.uniform()) : 0;
  }
  return out;
}

/** ln discharge of a basin: shared and own rain through a fast store and a slow one. */
function basin(
  random: Random,
  { shared, ownShare, fastHours }: { shared: Float64Array; ownShare: number; fastHours: number },
): Float64Array {
  const own = rain(random, shared.length);
  let storm = 1;
  let fast = 0;
  let slow = 3;
  return shared.map((r, t) => {
    // Each storm falls harder on one basin than on the other.
    if (r === 0) storm = Math.exp(0.35 * random.normal());
    const fallen = (1 - ownShare) * r * storm + ownShare * own[t];
    fast += fallen - fast / fastHours;
    slow += 0.15 * fallen - slow / 260;
    return Math.log(0.4 + 0.6 * slow + 2.2 * fast);
  });
}

function ornsteinUhlenbeck(
  random: Random,
  { sd, hours, count }: { sd: number; hours: number; count: number },
): Float64Array {
  const keep = Math.exp(-1 / hours);
  let value = sd * random.normal();
  return Float64Array.from({ length: count }, () => {
    value = keep * value + sd * Math.sqrt(1 - keep * keep) * random.normal();
    return value;
  });
}

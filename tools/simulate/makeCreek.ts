import { DEFAULT_STORAGES_HOURS } from '../../src/align/alignVisits.js';
import { effectiveSeries } from '../../src/align/effectiveSeries.js';
import { lnAt } from '../../src/align/interpolate.js';
import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import type { Creek, Feature, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import type { Sighting, Visit } from '../../src/series/visits.js';

const HOUR = 3_600_000;
const START = Date.UTC(2020, 0, 1);
const HOURS = 9_000;
/** What the expert of such a creek would write into creek.json: the water is never more than half a day apart. */
const BOUNDS = { min: -12, max: 12 };
const CLASSES = ['too low', 'low', 'good', 'high', 'too high'];

/**
 * `model`: the level model's own world, parameters from plain ranges. `priors`: the same world with parameters from the very priors, so that
 * coverage must come out at nominal. `broken`: mismatch that lasts for days and has heavy tails, observers who drift, and people who log
 * by how the creek is.
 */
export type World = 'model' | 'priors' | 'broken';

export interface Truth {
  readonly lagHours: number;
  readonly storageHours: number;
  readonly mismatch: number;
  /** ln edges of the verdict, ascending. */
  readonly edges: readonly number[];
}

export interface SimulatedCreek {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly visits: readonly Visit[];
  readonly truth: Truth;
}

interface FeatureTruth {
  readonly feature: Feature | { readonly id: 'verdict' };
  readonly edges: readonly number[];
  readonly blur: number;
}

/** A creek, its gauge and its log, all from one seed. */
export function makeCreek(world: World, { visits, seed }: { visits: number; seed: number }): SimulatedCreek {
  const random = createRandom(splitSeed(seed, `${world}/${visits}`));
  const record = rainRecord(random);
  const fromPriors = world === 'priors';
  const lagHours = fromPriors ? random.integer(2 * BOUNDS.max + 1) / 2 : 8 * random.uniform();
  const storageHours = pick(random, fromPriors ? DEFAULT_STORAGES_HOURS : [-12, -8, -4, 0, 0, 0, 4, 8, 15]);
  const ln = effectiveSeries(record, storageHours).map(Math.log);
  const cursor = { index: 0 };
  const x = (timeMs: number): number =>
    lnAt(record.timesMs, ln, timeMs - lagHours * HOUR, { maxGapMs: record.maxGapMs, cursor });

  const logNormal = (median: number, sdLn: number): number => median * Math.exp(sdLn * random.normal());
  const mismatch = fromPriors ? logNormal(0.2, 0.7) : 0.1 + 0.4 * random.uniform();
  const observerSd = fromPriors ? logNormal(0.1, 0.7) : 0.08;
  const observers = Array.from({ length: 3 + random.integer(5) }, (_, o) => ({
    name: `observer ${o + 1}`,
    bias: observerSd * random.normal(),
    driftPerYear: world === 'broken' ? 0.15 * random.normal() : 0,
  }));
  const error = world === 'broken' ? lastingErrors(random, mismatch) : () => mismatch * random.normal();

  const times = visitTimes(random, { count: visits, wish: (t) => x(t) + (world === 'broken' ? error(t) : 0) });
  const centre = times.reduce((sum, t) => sum + x(t), 0) / times.length;
  const truths = featureTruths(random, { fromPriors, centre, logNormal });
  const staff =
    random.uniform() < 0.5
      ? { base: 20, scale: 25, p: fromPriors ? logNormal(1.8, 0.35) : 1.5 + random.uniform(), noise: 1.5 }
      : undefined;
  const run: Run = {
    id: 'main',
    name: 'main run',
    classes: CLASSES,
    features: [
      ...truths.flatMap((f) => ('name' in f.feature ? [f.feature] : [])),
      ...(staff === undefined ? [] : [{ id: 'staff', name: 'staff', unit: 'cm' }]),
    ],
  };
  let row = 1;
  const log = times.map((timeMs, i): Visit => {
    const giveOrTakeMin = pick(random, [0, 0, 15, 60]);
    const trueMs = timeMs + giveOrTakeMin * 60_000 * (2 * random.uniform() - 1);
    const c = x(trueMs) + error(trueMs);
    const who = observers[random.integer(observers.length)];
    const bias = who.bias + (who.driftPerYear * (timeMs - START)) / (8766 * HOUR);
    const sighting = (feature: string, classIndex: number, value: number): Sighting => ({
      row: ++row,
      timeMs,
      giveOrTakeMin,
      run: run.id,
      feature,
      classIndex,
      value,
      observer: who.name,
      note: '',
    });
    const sightings: Sighting[] = [];
    for (const { feature, edges, blur } of truths) {
      if (feature.id !== 'verdict' && random.uniform() < 0.35) continue;
      const seen = c + bias + blur * random.normal();
      sightings.push(sighting(feature.id, edges.filter((e) => seen > e).length, NaN));
    }
    if (staff !== undefined && random.uniform() < 0.5) {
      const { base, scale, p, noise } = staff;
      sightings.push(sighting('staff', -1, base + scale * Math.exp((c + bias - centre) / p) + noise * random.normal()));
    }
    return { id: `v${i + 1}`, run: run.id, timeMs, sightings };
  });
  const creek: Creek = {
    schema: 1,
    name: 'simulated',
    timeZone: 'UTC',
    lagHours: BOUNDS,
    runs: [run],
    gauges: [{ id: 'g', name: 'g', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
  return { creek, run, record, visits: log, truth: { lagHours, storageHours, mismatch, edges: truths[0].edges } };
}

/** An hourly record: rain pulses every few days on a fast and a slow store. */
function rainRecord(random: Random): GaugeRecord {
  const values = new Float64Array(HOURS);
  let fast = 0;
  let slow = 3;
  let wet = 0;
  for (let t = 0; t < HOURS; t++) {
    if (random.uniform() < 1 / 90) wet = 3 + random.integer(14);
    const rain = wet > 0 ? -Math.log(random.uniform()) * 0.9 : 0;
    wet = Math.max(0, wet - 1);
    fast += rain - fast / 14;
    slow += 0.15 * rain - slow / 260;
    values[t] = 0.4 + 0.6 * slow + 2.2 * fast;
  }
  return {
    kind: 'gauge-record',
    gauge: 'g',
    name: 'g',
    parameter: 'discharge',
    unit: 'm3/s',
    timesMs: Float64Array.from(values, (_, t) => START + t * HOUR),
    values,
    stepMs: HOUR,
    maxGapMs: 3 * HOUR,
    approval: { approved: HOURS, provisional: 0, unknown: 0 },
    codes: {},
  };
}

/** Daylight hours at least six apart, the likelier the higher the water that people wish for. */
function visitTimes(random: Random, { count, wish }: { count: number; wish: (timeMs: number) => number }): number[] {
  const chosen: number[] = [];
  const probe = Array.from({ length: 400 }, () => wish(START + (400 + random.integer(HOURS - 500)) * HOUR)).sort(
    (a, b) => a - b,
  );
  const usual = probe[Math.floor(0.6 * probe.length)];
  while (chosen.length < count) {
    const hour = 24 * (17 + random.integer(HOURS / 24 - 22)) + 8 + 10 * random.uniform();
    const timeMs = START + Math.round(hour * 60) * 60_000;
    if (random.uniform() > 1 / (1 + Math.exp(-2.5 * (wish(timeMs) - usual)))) continue;
    if (chosen.every((other) => Math.abs(other - timeMs) >= 6 * HOUR)) chosen.push(timeMs);
  }
  return chosen.sort((a, b) => a - b);
}

/** The verdict first, then one to three features with classes. */
function featureTruths(
  random: Random,
  {
    fromPriors,
    centre,
    logNormal,
  }: { fromPriors: boolean; centre: number; logNormal: (m: number, s: number) => number },
): FeatureTruth[] {
  const make = (feature: FeatureTruth['feature'], classes: number): FeatureTruth => {
    const gap = (): number => (fromPriors ? logNormal(0.4, 1) : 0.3 + 0.4 * random.uniform());
    const middle = (classes - 2) >> 1;
    const edges = new Array<number>(classes - 1);
    edges[middle] = centre + (fromPriors ? 2 : 0.4) * random.normal();
    for (let k = middle + 1; k < classes - 1; k++) edges[k] = edges[k - 1] + gap();
    for (let k = middle - 1; k >= 0; k--) edges[k] = edges[k + 1] - gap();
    return { feature, edges, blur: fromPriors ? logNormal(0.15, 0.7) : 0.08 + 0.22 * random.uniform() };
  };
  const words = ['dry', 'trickle', 'covered', 'padded'];
  const count = 1 + random.integer(3);
  return [
    make({ id: 'verdict' }, CLASSES.length),
    ...Array.from({ length: count }, (_, f) => {
      const classes = words.slice(0, 2 + random.integer(3));
      return make({ id: `f${f + 1}`, name: `feature ${f + 1}`, classes }, classes.length);
    }),
  ];
}

/** Mismatch that lasts: an AR(1) over hours with a memory of two days and innovations of Student's t with 3 degrees of freedom, sd as asked. */
function lastingErrors(random: Random, sd: number): (timeMs: number) => number {
  const memory = Math.exp(-1 / 48);
  const series = new Float64Array(HOURS + 48);
  for (let t = 1; t < series.length; t++) {
    const chi = random.normal() ** 2 + random.normal() ** 2 + random.normal() ** 2;
    const heavy = random.normal() / Math.sqrt(chi / 3) / Math.sqrt(3);
    series[t] = memory * series[t - 1] + sd * Math.sqrt(1 - memory * memory) * heavy;
  }
  return (timeMs) => series[Math.min(series.length - 1, Math.max(0, Math.round((timeMs - START) / HOUR)))];
}

function pick<T>(random: Random, values: readonly T[]): T {
  return values[random.integer(values.length)];
}

import { alignVisits } from '../../src/align/alignVisits.js';
import { effectiveSeries } from '../../src/align/effectiveSeries.js';
import { lnAt } from '../../src/align/interpolate.js';
import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import type { Creek, Run } from '../../src/series/creek.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { VERDICT, type Sighting, type Visit } from '../../src/series/visits.js';
import { lastingErrors } from './lastingErrors.js';
import { HOUR, rainRecord, START } from './rainRecord.js';
import {
  drawFeatures,
  drawRelation,
  LAG_BOUNDS,
  type Relation,
  type TrueFeature,
  type TrueStaff,
} from './trueCreek.js';
import { planVisits, type PlannedVisit } from './visitPlan.js';

/**
 * `model`: the level model's own world, parameters from plain ranges, people who go when they expect water. `priors`: the same with parameters
 * from the very priors, and visits that go by the gauge alone (whatever else guided them would tell of the parameters), so that
 * coverage must come out at nominal. `broken`: the model's world with mismatch that lasts for days and has heavy tails, observers who
 * drift, and people who log by how the creek is.
 */
export type World = 'model' | 'priors' | 'broken';

export interface Truth extends Omit<Relation, 'bias'> {
  /** The verdict first. */
  readonly features: readonly TrueFeature[];
}

export interface SimulatedCreek {
  readonly creek: Creek;
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly visits: readonly Visit[];
  readonly truth: Truth;
}

/** How fast a rise travels along the run; the fit is told the same. */
export const WAVE_SPEED_KM_H = 6;

/** Yearly drift of an observer in the broken world, sd in ln units. */
const DRIFT_SD = 0.15;

/** A creek, its gauge and its log, all from one seed. */
export function makeCreek(world: World, { visits: count, seed }: { visits: number; seed: number }): SimulatedCreek {
  const random = createRandom(splitSeed(seed, `${world}/${count}`));
  const fromPriors = world === 'priors';
  const broken = world === 'broken';
  const record = rainRecord(random);
  const relation = drawRelation(random, { fromPriors });
  const { lagHours, storageHours, mismatch, bias } = relation;
  const x = readAt(record, relation);
  const error = broken ? lastingErrors(random, mismatch) : () => mismatch * random.normal();
  const drift = bias.map(() => (broken ? DRIFT_SD * random.normal() : 0));

  const gaugeNow = readAt(record, { lagHours: 0, storageHours: 0 });
  const wish = fromPriors ? gaugeNow : broken ? (t: number) => x(t) + error(t) : x;
  const plan = planVisits(random, { count, observers: bias.length, wish });
  const centre = fromPriors ? fittedCentre(plan, { record, relation }) : mean(plan.map((v) => x(v.timeMs)));
  const { features, staff } = drawFeatures(random, { fromPriors, centre });
  const run = runOf(features, staff);

  let row = 1;
  const visits = plan.map((planned, i): Visit => {
    const e = error(planned.trueMs);
    const years = (planned.timeMs - START) / (8766 * HOUR);
    const sightings = lookAround(random, {
      planned,
      features,
      staff: staff === undefined ? undefined : { ...staff, centre },
      // What is seen further down the run passed the put-in earlier.
      seenState: (km, o) => x(planned.trueMs - (km / WAVE_SPEED_KM_H) * HOUR) + e + bias[o] + drift[o] * years,
    });
    return {
      id: `v${i + 1}`,
      run: run.id,
      timeMs: planned.timeMs,
      sightings: sightings.map((s) => ({ ...s, row: ++row })),
    };
  });
  return { creek: creekOf(run), run, record, visits, truth: { lagHours, storageHours, mismatch, features } };
}

/** x = ln e(t - lag) of a record. */
export function readAt(
  record: GaugeRecord,
  { lagHours, storageHours }: { readonly lagHours: number; readonly storageHours: number },
): (timeMs: number) => number {
  const ln = effectiveSeries(record, storageHours).map(Math.log);
  const cursor = { index: 0 };
  return (timeMs) => lnAt(record.timesMs, ln, timeMs - lagHours * HOUR, { maxGapMs: record.maxGapMs, cursor });
}

/** The mean of x around which the fit lays its prior of the edges, at the true lag and storage: over all nodes of all windows. */
function fittedCentre(
  plan: readonly PlannedVisit[],
  { record, relation }: { record: GaugeRecord; relation: Relation },
): number {
  const { lagHours, storageHours } = relation;
  const run = runOf([], undefined);
  const visits = plan.map((p, i) => ({
    id: `v${i + 1}`,
    run: run.id,
    timeMs: p.timeMs,
    sightings: [sightingOf(p, { feature: VERDICT, observer: 0, classIndex: 0 })],
  }));
  const storagesHours = [...new Set([0, storageHours])].sort((a, b) => a - b);
  const aligned = alignVisits({ creek: creekOf(run), run, record, visits }, { lagsHours: [lagHours], storagesHours });
  const nodes = aligned.nodeWeight.length;
  const g = storagesHours.indexOf(storageHours);
  return mean(Array.from(aligned.x.subarray(g * nodes, (g + 1) * nodes)));
}

/** What a party writes down: nine verdicts in ten visits, each other thing two times in three; at least one of them. */
function lookAround(
  random: Random,
  {
    planned,
    features,
    staff,
    seenState,
  }: {
    planned: PlannedVisit;
    features: readonly TrueFeature[];
    staff: (TrueStaff & { readonly centre: number }) | undefined;
    seenState: (km: number, observer: number) => number;
  },
): Sighting[] {
  const someone = (): number => planned.party[random.integer(planned.party.length)];
  const out: Sighting[] = [];
  const look = ({ id, km, edges, blur }: TrueFeature): void => {
    const observer = someone();
    const seen = seenState(km, observer) + blur * random.normal();
    out.push(sightingOf(planned, { feature: id, observer, classIndex: edges.filter((e) => seen > e).length }));
  };
  for (const feature of features) if (random.uniform() < (feature.id === VERDICT ? 0.9 : 0.65)) look(feature);
  if (staff !== undefined && random.uniform() < 0.65) {
    const observer = someone();
    const { base, scale, p, noise, centre } = staff;
    const value = base + scale * Math.exp((seenState(0, observer) - centre) / p) + noise * random.normal();
    out.push(sightingOf(planned, { feature: 'staff', observer, value }));
  }
  if (out.length === 0) look(features[0]);
  return out;
}

function sightingOf(
  { timeMs, giveOrTakeMin }: PlannedVisit,
  {
    feature,
    observer,
    classIndex = -1,
    value = NaN,
  }: { feature: string; observer: number; classIndex?: number; value?: number },
): Sighting {
  return {
    row: 0,
    timeMs,
    giveOrTakeMin,
    run: 'main',
    feature,
    classIndex,
    value,
    observer: `observer ${observer + 1}`,
    note: '',
  };
}

function runOf(features: readonly TrueFeature[], staff: TrueStaff | undefined): Run {
  const others = features.filter((f) => f.id !== VERDICT);
  return {
    id: 'main',
    name: 'main run',
    classes: features.find((f) => f.id === VERDICT)?.classes ?? ['low', 'high'],
    features: [
      ...others.map(({ id, km, classes }) => ({ id, name: id, kmFromPutIn: km, classes })),
      ...(staff === undefined ? [] : [{ id: 'staff', name: 'staff', unit: 'cm' }]),
    ],
  };
}

function creekOf(run: Run): Creek {
  return {
    schema: 1,
    name: 'simulated',
    timeZone: 'UTC',
    lagHours: LAG_BOUNDS,
    waveSpeedKmH: WAVE_SPEED_KM_H,
    runs: [run],
    gauges: [{ id: 'g', name: 'g', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}

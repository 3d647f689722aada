import { alignVisits } from '../../src/align/alignVisits.js';
import { lnAt } from '../../src/align/interpolate.js';
import type { Aligned } from '../../src/align/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import type { LevelFit } from '../../src/fit/types.js';
import { goodClasses } from '../../src/judge/goodClasses.js';
import { nextLook } from '../../src/judge/nextLook.js';
import { quantile } from '../../src/kernel/quantile.js';
import { createRandom, splitSeed, type Random } from '../../src/kernel/random.js';
import type { Creek, Run } from '../../src/series/creek.js';
import { VERDICT, type Sighting, type Visit } from '../../src/series/visits.js';
import { HOUR, HOURS, rainRecord, START } from '../simulate/rainRecord.js';
import { drawFeatures, type TrueFeature } from '../simulate/trueCreek.js';
import { planVisits } from '../simulate/visitPlan.js';

const LAGS = [0, 1, 2, 3, 4, 5, 6];
/** Visits between two fits of those who follow the advice. */
const BATCH = 2;
const OBSERVERS = 4;

/** How the further visits were chosen: by the first look advised, at random times of the record, or as people go (the likelier the more water runs). */
export type Plan = 'advice' | 'random' | 'usual';
export const PLANS: readonly Plan[] = ['advice', 'random', 'usual'];

export interface FollowOptions {
  readonly seed: number;
  /** Visits to start from, and further ones; defaults 20 and 10. */
  readonly start?: number;
  readonly more?: number;
  readonly draws?: number;
}

/** What became of the good range's edges. */
export interface Followed {
  /** Mean over the edges of ln(80 % width after / before), on the ln scale of the gauge. */
  readonly lnNarrower: Readonly<Record<Plan, number>>;
  /** Edges whose 80 % interval held the truth at the end, of `edges`. */
  readonly inside80: Readonly<Record<Plan, number>>;
  readonly edges: number;
}

/**
 * One invented creek (gauge with a lag of 0 to 5 h, mismatch 0.1 to 0.4, verdict of five classes and one to three features): a log of `start` visits as
 * people make them, and three ways of going `more` times. Every visit logs the verdict, and each feature two times in three.
 */
export function followLooks({ seed, start = 20, more = 10, draws = 500 }: FollowOptions): Followed | null {
  const random = createRandom(splitSeed(seed, 'next-look'));
  const record = rainRecord(random);
  const lagHours = 5 * random.uniform();
  const mismatch = 0.1 + 0.3 * random.uniform();
  const bias = Array.from({ length: OBSERVERS }, () => 0.08 * random.normal());
  const ln = record.values.map(Math.log);
  const x = (timeMs: number, lag = lagHours) =>
    lnAt(record.timesMs, ln, timeMs - lag * HOUR, { maxGapMs: record.maxGapMs, cursor: { index: 0 } });
  const times = planVisits(random, { count: start, observers: OBSERVERS, wish: x }).map((p) => p.timeMs);
  const centre = times.reduce((sum, t) => sum + x(t), 0) / start;
  const features = drawFeatures(random, { fromPriors: false, centre }).features.map((f) => ({ ...f, km: 0 }));
  const run = runOf(features);
  const creek = creekOf(run);
  const visitAt = (r: Random, timeMs: number): Visit => {
    const observer = r.integer(OBSERVERS);
    const state = x(timeMs) + mismatch * r.normal() + bias[observer];
    const sightings = features
      .filter((f) => f.id === VERDICT || r.uniform() < 0.65)
      .map((f) => sightingOf(timeMs, { f, observer, state: state + f.blur * r.normal() }));
    return { id: `v${timeMs}`, run: run.id, timeMs, sightings };
  };
  const first = times.map((t) => visitAt(random, t));
  const fitted = (visits: readonly Visit[]): { fit: LevelFit; aligned: Aligned } => {
    const aligned = alignVisits({ creek, run, record, visits }, { lagsHours: LAGS, storagesHours: [0] });
    return { fit: fitLevels(aligned, { modes: ['one-reading'], draws, seed })['one-reading'], aligned };
  };
  const before = fitted(first);
  if (before.fit.draws.count === 0) return null;

  const grow = (plan: Plan): LevelFit => {
    const r = createRandom(splitSeed(seed, plan));
    let now = before;
    let visits = [...first];
    while (visits.length < start + more) {
      const batch = plan === 'advice' ? Math.min(BATCH, start + more - visits.length) : more;
      const look = plan === 'advice' ? nextLook(now.fit, now.aligned, { record })?.looks[0] : undefined;
      const lag = quantile(now.fit.draws.lagHours, 0.5);
      const wanted = (timeMs: number): boolean => {
        if (plan === 'usual') return r.uniform() < 1 / (1 + Math.exp(-2.5 * (x(timeMs) - centre)));
        const reading = Math.exp(x(timeMs, lag));
        return look === undefined || (reading >= look.from && reading <= look.to);
      };
      for (let k = 0; k < batch; k++)
        visits.push(visitAt(r, chooseTime(r, { taken: visits.map((v) => v.timeMs), wanted })));
      visits = visits.sort((a, b) => a.timeMs - b.timeMs);
      now = fitted(visits);
    }
    return now.fit;
  };
  const verdict = features[0];
  const [low, high] = goodClasses(verdict.classes);
  const edges = [low - 1, high];
  const i80 = (fit: LevelFit, k: number): [number, number] => {
    const drawn = fit.features[0].edges.filter((_, at) => at % verdict.edges.length === k);
    return [quantile(drawn, 0.1), quantile(drawn, 0.9)];
  };
  const lnWidth = (fit: LevelFit) =>
    edges.reduce((sum, k) => sum + Math.log(i80(fit, k)[1] - i80(fit, k)[0]), 0) / edges.length;
  const after = PLANS.map((plan) => grow(plan));
  const byPlan = (value: (fit: LevelFit) => number) =>
    Object.fromEntries(PLANS.map((plan, p) => [plan, value(after[p])])) as Record<Plan, number>;
  return {
    lnNarrower: byPlan((fit) => lnWidth(fit) - lnWidth(before.fit)),
    inside80: byPlan(
      (fit) => edges.filter((k) => i80(fit, k)[0] <= verdict.edges[k] && verdict.edges[k] <= i80(fit, k)[1]).length,
    ),
    edges: edges.length,
  };
}

/** A daylight time that is wanted and six hours from all others; after 20 000 tries for a rare reading, any daylight time. */
function chooseTime(
  random: Random,
  { taken, wanted }: { taken: readonly number[]; wanted: (timeMs: number) => boolean },
): number {
  for (let tries = 0; ; tries++) {
    const hour = 24 * (2 + random.integer(HOURS / 24 - 4)) + 8 + 10 * random.uniform();
    const timeMs = START + Math.round(hour * 60) * 60_000;
    if (taken.some((other) => Math.abs(other - timeMs) < 6 * HOUR)) continue;
    if (tries > 20_000 || wanted(timeMs)) return timeMs;
  }
}

function sightingOf(
  timeMs: number,
  { f, observer, state }: { f: TrueFeature; observer: number; state: number },
): Sighting {
  return {
    row: 1,
    timeMs,
    giveOrTakeMin: 0,
    run: 'main',
    feature: f.id,
    classIndex: f.edges.filter((e) => state > e).length,
    value: NaN,
    observer: `observer ${observer + 1}`,
    note: '',
  };
}

function runOf(features: readonly TrueFeature[]): Run {
  const [verdict, ...others] = features;
  return {
    id: 'main',
    name: 'main run',
    classes: verdict.classes,
    features: others.map(({ id, classes }) => ({ id, name: id, classes })),
  };
}

function creekOf(run: Run): Creek {
  return {
    schema: 1,
    name: 'simulated',
    timeZone: 'UTC',
    runs: [run],
    gauges: [{ id: 'g', name: 'g', parameter: 'discharge', unit: 'm3/s', files: [], format: 'delimited' }],
  };
}

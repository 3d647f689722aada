import type { Aligned } from '../align/types.js';
import { effectiveSeries } from '../align/effectiveSeries.js';
import type { LevelFit } from '../fit/types.js';
import { estimate, type Estimate } from '../kernel/estimate.js';
import { findRoot } from '../kernel/findRoot.js';
import { logisticCdf } from '../kernel/logistic.js';
import { normalCdf } from '../kernel/normal.js';
import { quantile, quantileSorted } from '../kernel/quantile.js';
import { createRandom } from '../kernel/random.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { VERDICT } from '../series/visits.js';

/** How readily a dry day is logged against one when the creek runs: rare + (1 - rare)·Φ((x - middle)/width). */
export interface DryRate {
  readonly rare: number;
  readonly middle: number;
  readonly width: number;
}

/** The verdict's edges where every day counted alike, lowest first; x units of the fit (ln). */
export interface AllDays {
  readonly edges: readonly Estimate[];
  /** The lowest edge if days below it were logged a tenth as often as those above. */
  readonly lowestAtTenth: number;
  /** How much rarer a day at the lowest edge is logged than one when the creek runs: 1 where there is no selection. */
  readonly rateAtLowest: Estimate;
}

/**
 * Weak normal priors on logit rare (about a thirteenth, from a third to a sixtieth), on the middle around the lowest edge and on ln width;
 * ln units of discharge.
 */
const PRIOR = { logitRare: { mean: -2.5, sd: 1.5 }, middleSd: 2, lnWidth: { mean: Math.log(0.5), sd: 0.5 } };
const RECORD_VALUES = 100;
const WARM_UP = 500;
const KEPT = 200;
const THIN = 8;
/** Above the edge of the logged days, ln units, nobody looks for that of all days. */
const FARTHEST = 6;

/**
 * Edges of all days from those of the logged ones. People log when it runs, so at a reading where the creek is as often too low as not, a
 * log shows it running more often. Stated model of what is missing: days above the lowest edge are logged equally often; drier ones at a
 * rate q(x) that may rise with the reading, told by the readings at the visits beside all readings of the record between the first and the
 * last of them. With P(x) the share of logged days above the lowest edge, a day at x is logged rate(x) = 1/(P + (1 - P)/q) times as readily
 * as one that runs, and
 *
 *   P(above an edge, all days) = P(above it, logged days) · rate(x)
 *
 * @returns null for a fit without draws, a verdict, or at least 3 readings at the visits.
 */
export function allDaysEdges(
  fit: LevelFit,
  { aligned, record, seed = 1 }: { aligned: Aligned; record: GaugeRecord; seed?: number },
): AllDays | null {
  const verdict = fit.features.find(({ id }) => id === VERDICT);
  const D = fit.draws.count;
  const visits = readingsOfVisits(fit, aligned);
  const all = readingsOfRecord(fit, { aligned, record });
  if (verdict === undefined || D === 0 || visits.length < 3 || all.length < RECORD_VALUES) return null;
  const inner = verdict.classes.length - 1;
  const cdf = fit.link === 'logit' ? logisticCdf : normalCdf;
  const sdOf = (d: number): number => Math.hypot(fit.draws.mismatch[d], verdict.blur[d]);
  const lowest = quantile(
    Float64Array.from({ length: D }, (_, d) => verdict.edges[d * inner]),
    0.5,
  );
  const usualSd = quantile(
    Float64Array.from({ length: D }, (_, d) => sdOf(d)),
    0.5,
  );
  // A stage moves less than a discharge for the same water.
  const scale = fit.parameter === 'discharge' ? 1 : Math.min(1, spread(all));
  const dry = drawDryRates(visits, { all, lowest, runs: (x) => cdf((x - lowest) / usualSd), seed, scale });
  const rateOf = (d: number, x: number): number =>
    rateAt(dry[d % dry.length], { x, runs: cdf((x - verdict.edges[d * inner]) / sdOf(d)) });
  const movedEdge = (edge: number, sd: number, rate: (x: number) => number): number => {
    const over = (x: number): number => cdf((x - edge) / sd) * rate(x) - 0.5;
    return over(edge) >= 0 ? edge : findRoot(over, { low: edge, high: edge + FARTHEST * Math.max(1, sd) });
  };
  const edges = Array.from({ length: inner }, (_, k) =>
    Float64Array.from({ length: D }, (_, d) => movedEdge(verdict.edges[d * inner + k], sdOf(d), (x) => rateOf(d, x))),
  );
  const tenth = Float64Array.from({ length: D }, (_, d) => movedTenth(verdict.edges[d * inner], sdOf(d), cdf));
  return Object.freeze({
    edges: Object.freeze(edges.map(estimate)),
    lowestAtTenth: estimate(tenth).median,
    rateAtLowest: estimate(Float64Array.from({ length: D }, (_, d) => rateOf(d, edges[0][d]))),
  });
}

/** Where each logged dry day stands for ten: P/(P + 10(1 - P)) = ½. */
function movedTenth(edge: number, sd: number, cdf: (z: number) => number): number {
  return findRoot((x) => cdf((x - edge) / sd) - 10 / 11, { low: edge, high: edge + FARTHEST * sd });
}

/** How readily a day is logged against one that runs, where a share `runs` of the logged days does. */
function rateAt({ rare, middle, width }: DryRate, { x, runs }: { x: number; runs: number }): number {
  return 1 / (runs + (1 - runs) / (rare + (1 - rare) * normalCdf((x - middle) / width)));
}

function readingsOfVisits({ reading }: LevelFit, aligned: Aligned): readonly number[] {
  const { lagsHours, storagesHours, nodeStart, x } = aligned;
  const g = storagesHours.indexOf(reading.storageHours) * lagsHours.length + lagsHours.indexOf(reading.lagHours);
  const N = aligned.nodeWeight.length;
  return aligned.visitIds.map((_, i) => x[g * N + nodeStart[i]]).filter((v) => v === v);
}

function spread(x: readonly number[]): number {
  const mean = x.reduce((a, b) => a + b, 0) / x.length;
  return Math.sqrt(x.reduce((a, b) => a + (b - mean) ** 2, 0) / x.length);
}

/** Quantiles of the record's effective readings between the first visit and the last. */
function readingsOfRecord(
  { reading }: LevelFit,
  { aligned, record }: { aligned: Aligned; record: GaugeRecord },
): readonly number[] {
  const times = aligned.visitTimesMs;
  const series = effectiveSeries(record, reading.storageHours);
  const x = record.timesMs.reduce<number[]>((kept, t, i) => {
    if (t >= times[0] && t <= times[times.length - 1] && series[i] > 0) kept.push(Math.log(series[i]));
    return kept;
  }, []);
  const sorted = Float64Array.from(x).sort();
  return sorted.length === 0
    ? []
    : Array.from({ length: RECORD_VALUES }, (_, j) => quantileSorted(sorted, (j + 0.5) / RECORD_VALUES));
}

/** Draws of the rate by a random walk (Metropolis): readings at the visits have the density of all readings times the rate. */
export function drawDryRates(
  visits: readonly number[],
  {
    all,
    lowest,
    runs,
    seed,
    scale = 1,
  }: { all: readonly number[]; lowest: number; runs: (x: number) => number; seed: number; scale?: number },
): readonly DryRate[] {
  const random = createRandom(seed);
  const pair = (x: number) => ({ x, runs: runs(x) });
  const [there, here] = [all.map(pair), visits.map(pair)];
  const { logitRare, middleSd, lnWidth } = PRIOR;
  const rate = ([a, middle, c]: readonly number[]): DryRate => ({
    rare: 1 / (1 + Math.exp(-a)),
    middle: lowest + scale * middle,
    width: scale * Math.exp(c),
  });
  const logDensity = (p: readonly number[]): number => {
    const of = rate(p);
    const average = there.reduce((sum, at) => sum + rateAt(of, at), 0) / all.length;
    const squares =
      ((p[0] - logitRare.mean) / logitRare.sd) ** 2 +
      (p[1] / middleSd) ** 2 +
      ((p[2] - lnWidth.mean) / lnWidth.sd) ** 2;
    return here.reduce((sum, at) => sum + Math.log(rateAt(of, at) / average), 0) - 0.5 * squares;
  };
  const steps = [0.7, 0.25, 0.3];
  let at: readonly number[] = [logitRare.mean, 0, lnWidth.mean];
  let density = logDensity(at);
  const out: DryRate[] = [];
  for (let round = 0; round < WARM_UP + KEPT * THIN; round++) {
    const next = at.map((v, i) => v + steps[i] * random.normal());
    const nextDensity = logDensity(next);
    if (Math.log(random.uniform()) < nextDensity - density) [at, density] = [next, nextDensity];
    if (round >= WARM_UP && round % THIN === 0) out.push(rate(at));
  }
  return out;
}

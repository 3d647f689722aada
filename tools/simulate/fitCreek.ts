import { alignVisits } from '../../src/align/alignVisits.js';
import type { Aligned } from '../../src/align/types.js';
import { edges } from '../../src/chart/edges.js';
import { estimate } from '../../src/kernel/estimate.js';
import { lagSummary, storageSummary } from '../../src/chart/lagSummary.js';
import type { Interval } from '../../src/chart/types.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import type { LevelFit } from '../../src/fit/types.js';
import { createRandom, splitSeed } from '../../src/kernel/random.js';
import { VERDICT } from '../../src/series/visits.js';
import { makeCreek, type Truth, type World } from './makeCreek.js';

/** Whether the 80 % and the 95 % interval hold the truth. */
export interface Hit {
  readonly in80: boolean;
  readonly in95: boolean;
  /** Share of the posterior below the truth: even over creeks where the parameters come from the priors. */
  readonly rank: number;
}

export type Place = 'lower outer' | 'middle' | 'upper outer' | 'only';

export interface EdgeHit extends Hit {
  readonly feature: string;
  readonly place: Place;
  readonly seenBothSides: boolean;
  /** ln of estimate over truth. */
  readonly error: number;
  /** ln width of the 80 % interval. */
  readonly width80: number;
}

/** A lag or storage: `in80` and `in95` to the step of the search, as a truth between two grid points has no point of its own. */
export interface GridHit extends Hit {
  readonly strict80: boolean;
  readonly strict95: boolean;
  readonly error: number;
}

/** What the intervals of one simulated creek's chart came to. */
export interface Intervals {
  /** Of every feature with classes, the verdict first, lowest edge first. */
  readonly edges: readonly EdgeHit[];
  readonly lag: GridHit;
  readonly storage: GridHit;
  readonly mismatch: Hit;
  /** Of the verdict. */
  readonly blur: Hit;
  readonly limbKept: boolean;
  readonly paretoK: number;
  readonly effectiveDraws: number;
}

/** One line of the checkpoint file: plain numbers. */
export interface Outcome {
  readonly world: World;
  readonly visits: number;
  readonly seed: number;
  /** Null where the fit found no proper maximum and says so: no chart, no intervals to be right or wrong. */
  readonly intervals: Intervals | null;
}

/** Makes a creek, fits it by the effective reading as a chart would, and holds the intervals to the truth. */
export function fitCreek(
  world: World,
  { visits, seed, draws = 1000 }: { visits: number; seed: number; draws?: number },
): Outcome {
  const made = makeCreek(world, { visits, seed });
  const aligned = alignVisits(made);
  const { effective: fit } = fitLevels(aligned, { seed, draws, modes: ['effective'] });
  return { world, visits, seed, intervals: intervalsOf(fit, { truth: made.truth, aligned, seed }) };
}

/** The intervals of a fit beside the truth; null without draws. */
export function intervalsOf(
  fit: LevelFit,
  { truth, aligned, seed }: { truth: Truth; aligned: Aligned; seed: number },
): Intervals | null {
  if (fit.draws.count === 0) return null;
  const random = createRandom(splitSeed(seed, 'ties'));
  const number = new Map<string, number>();
  const edgeHits = edges(fit, aligned).map((e): EdgeHit => {
    const k = number.get(e.feature) ?? 0;
    number.set(e.feature, k + 1);
    const inner = truth.features.find((f) => f.id === e.feature)!.edges;
    const fitted = fit.features.find((f) => f.id === e.feature)!.edges;
    const drawn = Float64Array.from({ length: fit.draws.count }, (_, d) => fitted[d * inner.length + k]);
    return {
      feature: e.feature,
      place: placeOf(k, inner.length),
      seenBothSides: e.seenBothSides,
      ...hit(Math.exp(inner[k]), e),
      rank: rankOf(inner[k], drawn),
      error: Math.log(e.median) - inner[k],
      width80: Math.log(e.i80[1]! / e.i80[0]!),
    };
  });
  const ofDraws = (value: number, drawn: Float64Array): Hit => ({
    ...hit(value, estimate(drawn)),
    rank: rankOf(value, drawn),
  });
  const verdict = fit.features.find((f) => f.id === VERDICT)!;
  return {
    edges: edgeHits,
    lag: gridHit(truth.lagHours, { ...lagSummary(fit), tie: random.uniform() }),
    storage: gridHit(truth.storageHours, { ...storageSummary(fit), tie: random.uniform() }),
    mismatch: ofDraws(truth.mismatch, fit.draws.mismatch),
    blur: ofDraws(truth.features[0].blur, verdict.blur),
    limbKept: fit.limbKept,
    paretoK: fit.diagnostics.paretoK,
    effectiveDraws: fit.diagnostics.effectiveDraws,
  };
}

/** Where an edge stands among those of its feature. */
export function placeOf(k: number, edgeCount: number): Place {
  if (edgeCount === 1) return 'only';
  return k === 0 ? 'lower outer' : k === edgeCount - 1 ? 'upper outer' : 'middle';
}

function hit(value: number, { i80, i95 }: { readonly i80: Interval; readonly i95: Interval }) {
  return { in80: within(value, i80), in95: within(value, i95) };
}

function within(value: number, [from, to]: Interval): boolean {
  return from !== null && to !== null && value >= from && value <= to;
}

function rankOf(value: number, drawn: Float64Array): number {
  return drawn.reduce((below, d) => below + (d < value ? 1 : 0), 0) / drawn.length;
}

/**
 * A lag or storage beside its posterior over the grid. To the step of the search: each end of an interval reaches half way to the next grid
 * point. The rank counts the probability below the truth, and of what stands on the truth itself the share `tie`; a truth off the grid is
 * put to its nearest point.
 */
export function gridHit(
  value: number,
  posterior: {
    readonly hours: readonly number[];
    readonly probability: readonly number[];
    readonly median: number;
    readonly i80: Interval;
    readonly i95: Interval;
    readonly tie: number;
  },
): GridHit {
  const { hours, probability, median, i80, i95, tie } = posterior;
  const strict = hit(value, posterior);
  const nearestTo = (value: number): number =>
    hours.reduce((best, h, i) => (Math.abs(h - value) < Math.abs(hours[best] - value) ? i : best), 0);
  // Half way to the next point of the grid, from the point that an end lies nearest to.
  const reach = ([from, to]: Interval): Interval => {
    const low = nearestTo(from!);
    const high = nearestTo(to!);
    return [
      Math.min(from!, low > 0 ? (hours[low - 1] + hours[low]) / 2 : hours[0]),
      Math.max(to!, high < hours.length - 1 ? (hours[high] + hours[high + 1]) / 2 : hours[high]),
    ];
  };
  const nearest = hours.reduce((best, h) => (Math.abs(h - value) < Math.abs(best - value) ? h : best), hours[0]);
  let rank = 0;
  hours.forEach((h, i) => (rank += h < nearest ? probability[i] : h === nearest ? tie * probability[i] : 0));
  return {
    ...hit(value, { i80: reach(i80), i95: reach(i95) }),
    strict80: strict.in80,
    strict95: strict.in95,
    rank,
    error: median - value,
  };
}

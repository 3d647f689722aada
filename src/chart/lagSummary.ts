import type { LevelFit } from '../fit/types.js';
import { plain } from './numbers.js';
import type { Interval, LagSummary } from './types.js';

/**
 * The posterior of the lag over the grid (storages summed out), with its sign in words.
 *
 * Quantiles are grid values: the median is the smallest lag that holds half of the probability at or below it; a lower bound is the
 * smallest lag with more than the tail's probability at or below it, an upper one the largest with more than the tail's at or above it. So an interval holds at least
 * its nominal share.
 *
 * @returns hours and probability over the lags that were searched by this way of reading (from the lead on, unless it is `any-lag`).
 */
export function lagSummary({ grid, mode, leadHours }: Pick<LevelFit, 'grid' | 'mode' | 'leadHours'>): LagSummary {
  const { lagsHours, probability } = grid;
  const mass = new Float64Array(lagsHours.length);
  for (let g = 0; g < probability.length; g++) if (probability[g] > 0) mass[g % lagsHours.length] += probability[g];
  const searched = Array.from(lagsHours, (_, l) => l).filter(
    (l) => mode === 'any-lag' || lagsHours[l] >= leadHours || mass[l] > 0,
  );
  const hours = searched.map((l) => lagsHours[l]);
  const p = searched.map((l) => mass[l]);
  const spread = discreteEstimate(hours, p);
  return Object.freeze({
    hours: Object.freeze(hours),
    probability: Object.freeze(p),
    ...spread,
    sentence: lagSentence(spread),
  });
}

/** The posterior of the storage over the grid, lags summed out; quantiles as in `lagSummary`. */
export function storageSummary({ grid }: Pick<LevelFit, 'grid'>): {
  readonly hours: readonly number[];
  readonly probability: readonly number[];
  readonly medianHours: number;
  readonly i80: Interval;
  readonly i95: Interval;
} {
  const { lagsHours, storagesHours, probability } = grid;
  const mass = new Array<number>(storagesHours.length).fill(0);
  for (let g = 0; g < probability.length; g++)
    if (probability[g] > 0) mass[Math.floor(g / lagsHours.length)] += probability[g];
  const hours = Object.freeze(Array.from(storagesHours));
  return Object.freeze({ hours, probability: Object.freeze(mass), ...discreteEstimate(hours, mass) });
}

/** Median and intervals of a distribution on ascending points. */
function discreteEstimate(
  points: readonly number[],
  mass: readonly number[],
): { readonly medianHours: number; readonly i80: Interval; readonly i95: Interval } {
  const total = mass.reduce((a, b) => a + b, 0);
  // A hair of slack: sums of probabilities that should be exactly a tail's share come out a few 1e-16 off.
  const lower = (tail: number) => {
    let below = 0;
    for (let i = 0; i < points.length; i++) {
      below += mass[i];
      if (below > tail * total + 1e-12) return points[i];
    }
    return NaN;
  };
  const upper = (tail: number) => {
    let above = 0;
    for (let i = points.length - 1; i >= 0; i--) {
      above += mass[i];
      if (above > tail * total + 1e-12) return points[i];
    }
    return NaN;
  };
  let medianHours = NaN;
  let below = 0;
  for (let i = 0; i < points.length && !(medianHours === medianHours); i++) {
    below += mass[i];
    if (below >= 0.5 * total - 1e-12 && total > 0) medianHours = points[i];
  }
  return {
    medianHours,
    i80: Object.freeze([lower(0.1), upper(0.1)] as const),
    i95: Object.freeze([lower(0.025), upper(0.025)] as const),
  };
}

/**
 * The lag with its sign in words, e.g. `The gauge leads by 3 h (80 % sure: between 1 h and 5 h).`
 */
export function lagSentence({ medianHours, i80 }: { readonly medianHours: number; readonly i80: Interval }): string {
  if (!Number.isFinite(medianHours)) return 'The lag is unknown.';
  const head =
    medianHours === 0 ? 'Gauge and creek move together' : `The ${leader(medianHours)} leads by ${h(medianHours)}`;
  const [from, to] = i80;
  if (from === null || to === null) return `${head}.`;
  if (from === to) return `${head} (80 % sure, to the step of the search).`;
  if (from < 0 && to > 0) {
    return `${head}, but who leads is open (80 % sure: between the creek leading by ${h(from)} and the gauge leading by ${h(to)}).`;
  }
  const [near, far] = Math.abs(from) < Math.abs(to) ? [from, to] : [to, from];
  if (medianHours === 0) return `${head} (80 % sure: the ${leader(far)} leads by no more than ${h(far)}).`;
  return `${head} (80 % sure: between ${h(near)} and ${h(far)}).`;
}

function leader(lagHours: number): string {
  return lagHours > 0 ? 'gauge' : 'creek';
}

function h(hours: number): string {
  return `${plain(Math.abs(hours), 1)} h`;
}

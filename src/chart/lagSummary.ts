import { plain } from '../series/format.js';
import type { LevelFit } from '../fit/types.js';
import { gridEstimate, type Estimate } from '../kernel/estimate.js';
import type { HoursPosterior, LagSummary } from './types.js';

/**
 * The posterior of the lag over the grid (storages summed out), with its sign in words.
 *
 * @returns hours and probability over the lags that were searched by this way of reading (from the lead on, unless it is `any-lag`).
 */
export function lagSummary({ grid, mode, leadHours }: Pick<LevelFit, 'grid' | 'mode' | 'leadHours'>): LagSummary {
  const { lagsHours, probability } = grid;
  const mass = summed(probability, lagsHours.length, (g) => g % lagsHours.length);
  const searched = Array.from(lagsHours.keys()).filter(
    (l) => mode === 'any-lag' || lagsHours[l] >= leadHours || mass[l] > 0,
  );
  const posterior = hoursPosterior(
    searched.map((l) => lagsHours[l]),
    searched.map((l) => mass[l]),
  );
  return { ...posterior, sentence: lagSentence(posterior) };
}

/** The posterior of the storage over the grid, lags summed out. */
export function storageSummary({ grid }: Pick<LevelFit, 'grid'>): HoursPosterior {
  const { lagsHours, storagesHours, probability } = grid;
  return hoursPosterior(
    Array.from(storagesHours),
    summed(probability, storagesHours.length, (g) => Math.floor(g / lagsHours.length)),
  );
}

function summed(probability: Float64Array, size: number, placeOf: (g: number) => number): readonly number[] {
  const mass = new Array<number>(size).fill(0);
  probability.forEach((p, g) => (mass[placeOf(g)] += p > 0 ? p : 0));
  return mass;
}

function hoursPosterior(hours: readonly number[], probability: readonly number[]): HoursPosterior {
  return { hours, probability, ...gridEstimate(probability, { of: (g) => hours[g] }) };
}

/**
 * The lag with its sign in words, e.g. `The gauge leads by 3 h (80 %: between 1 h and 5 h).`
 */
export function lagSentence({ median, i80: [from, to] }: Pick<Estimate, 'median' | 'i80'>): string {
  if (!Number.isFinite(median)) return 'The lag is unknown.';
  const together = h(median) === h(0);
  const head = together ? 'Gauge and creek move together' : `The ${leader(median)} leads by ${h(median)}`;
  if (from === null || to === null) return `${head}.`;
  const [near, far] = Math.abs(from) < Math.abs(to) ? [from, to] : [to, from];
  const open = from < 0 && to > 0;
  if (together && (!open || -from === to)) {
    const who = open ? 'neither' : `the ${leader(far)}`;
    return `${head} (80 % interval: ${who} leads by ${open ? '' : 'no '}more than ${h(far)}).`;
  }
  if (open)
    return `${head}, but who leads is open (80 % interval: from the creek leading by ${h(from)} to the gauge leading by ${h(to)}).`;
  return `${head} (80 % interval: ${h(near)} to ${h(far)}).`;
}

function leader(lagHours: number): string {
  return lagHours > 0 ? 'gauge' : 'creek';
}

function h(hours: number): string {
  return `${plain(Math.abs(hours), 1)} h`;
}

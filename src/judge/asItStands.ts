import type { Aligned } from '../align/types.js';
import { fitLevels } from '../fit/fitLevels.js';
import type { LevelFit, ReadingWay } from '../fit/types.js';
import { formsOf } from '../fit/warmStart.js';
import { leaveFloodOut, type LeftOut } from './leaveFloodOut.js';

/**
 * The visits at one lag, with some storages. Arrays that don't depend on the lag are shared.
 * @param at.lag, at.storages places on the grid.
 */
export function alignedAt(aligned: Aligned, { lag, storages }: { lag: number; storages: readonly number[] }): Aligned {
  const nL = aligned.lagsHours.length;
  const rows = (values: Float64Array): Float64Array => {
    const width = values.length / (nL * aligned.storagesHours.length);
    const out = new Float64Array(width * storages.length);
    storages.forEach((s, row) => {
      const from = (s * nL + lag) * width;
      out.set(values.subarray(from, from + width), row * width);
    });
    return out;
  };
  return {
    ...aligned,
    lagsHours: aligned.lagsHours.slice(lag, lag + 1),
    storagesHours: Float64Array.from(storages, (s) => aligned.storagesHours[s]),
    x: rows(aligned.x),
    slope: rows(aligned.slope),
    shift: rows(aligned.shift),
  };
}

export interface AtLag {
  /** Place on the grid of lags, at or beyond the lead. */
  readonly lag: number;
  readonly way: ReadingWay;
  readonly leadHours: number;
  readonly seed: number;
  readonly draws: number;
}

/**
 * What a chart that reads the gauge at one lag would have said of floods that it never saw, by weights.
 *
 * @param aligned the visits on the whole grid. @param of.fit decides link and forms of the ratings.
 * @returns null where nothing could be fitted, or nobody gave a verdict.
 */
export function scoredAtLag(
  { aligned, fit }: { readonly aligned: Aligned; readonly fit: LevelFit },
  { lag, way, ...options }: AtLag,
): LeftOut | null {
  const places = [...aligned.storagesHours.keys()];
  const storages = way === 'one-reading' ? places.filter((s) => aligned.storagesHours[s] === 0) : places;
  const here = alignedAt(aligned, { lag, storages });
  const own = fitLevels(here, { ...options, link: fit.link, modes: [way], forms: formsOf(fit), lasting: false })[way];
  if (!(own.draws.count > 0)) return null;
  const left = leaveFloodOut(own, here);
  return left.floods.length === 0 ? null : left;
}

/**
 * The chart of somebody who takes the number on the gauge for the creek, scored: the reading at the lead, storage 0.
 * @returns null where the grid has no such lag, or nothing could be fitted.
 */
export function asItStands(
  of: { readonly aligned: Aligned; readonly fit: LevelFit },
  options: { readonly seed: number; readonly draws: number },
): LeftOut | null {
  const { leadHours } = of.fit;
  const lag = of.aligned.lagsHours.findIndex((l) => Math.abs(l - leadHours) < 1e-9);
  return lag < 0 ? null : scoredAtLag(of, { ...options, leadHours, lag, way: 'one-reading' });
}

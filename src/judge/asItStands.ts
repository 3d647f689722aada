import type { Aligned } from '../align/types.js';
import { fitLevels, type LevelFits } from '../fit/fitLevels.js';
import type { LevelFit, Link, ReadingWay } from '../fit/types.js';
import { leaveFloodOut, type LeftOut } from './leaveFloodOut.js';

/**
 * The visits at one lag, with all storages. Arrays that don't depend on the lag are shared.
 * @param lag place on the grid of lags.
 */
export function alignedAtLag(aligned: Aligned, lag: number): Aligned {
  const nL = aligned.lagsHours.length;
  const rows = (values: Float64Array): Float64Array => {
    const width = values.length / (nL * aligned.storagesHours.length);
    const out = new Float64Array(width * aligned.storagesHours.length);
    aligned.storagesHours.forEach((_, s) => {
      const from = (s * nL + lag) * width;
      out.set(values.subarray(from, from + width), s * width);
    });
    return out;
  };
  return {
    ...aligned,
    lagsHours: aligned.lagsHours.slice(lag, lag + 1),
    x: rows(aligned.x),
    slope: rows(aligned.slope),
    shift: rows(aligned.shift),
  };
}

/** What a chart at one lag would have said of floods that it never saw, by weights; null for a way that can't be fitted there. */
export interface AtLag {
  readonly aligned: Aligned;
  readonly fits: LevelFits;
  readonly left: Readonly<Record<ReadingWay, LeftOut | null>>;
}

/**
 * Fits and scores the charts that read the gauge at one lag only.
 *
 * @param aligned the visits on the whole grid.
 * @param options.lag place on the grid of lags, at or beyond the lead.
 * @param options.modes default both ways.
 */
export function scoredAtLag(
  aligned: Aligned,
  {
    lag,
    modes = ['one-reading', 'effective'],
    ...options
  }: { lag: number; modes?: readonly ReadingWay[]; leadHours: number; link: Link; seed: number; draws: number },
): AtLag {
  const here = alignedAtLag(aligned, lag);
  const fits = fitLevels(here, { ...options, modes });
  const leftBy = (fit: LevelFit): LeftOut | null => {
    if (!(fit.draws.count > 0)) return null;
    const left = leaveFloodOut(fit, here);
    return left.floods.length === 0 ? null : left;
  };
  return {
    aligned: here,
    fits,
    left: { effective: leftBy(fits.effective), 'one-reading': leftBy(fits['one-reading']) },
  };
}

/**
 * The chart of somebody who takes the number on the gauge for the creek, scored: the reading at the lead, storage 0.
 * @returns null where the grid has no such lag, or nothing could be fitted.
 */
export function asItStands(
  aligned: Aligned,
  options: { leadHours: number; link: Link; seed: number; draws: number },
): LeftOut | null {
  const lag = aligned.lagsHours.findIndex((l) => Math.abs(l - options.leadHours) < 1e-9);
  return lag < 0 ? null : scoredAtLag(aligned, { ...options, lag, modes: ['one-reading'] }).left['one-reading'];
}

import type { Aligned } from '../align/types.js';
import { fitLevels } from '../fit/fitLevels.js';
import type { LevelFit, Link } from '../fit/types.js';
import { leaveFloodOut, type LeftOut } from './leaveFloodOut.js';

/**
 * The visits with one lag and storage only. Arrays that don't depend on them are shared.
 * @param point grid point, storage-major.
 */
export function alignedAt(aligned: Aligned, point: number): Aligned {
  const nL = aligned.lagsHours.length;
  const N = aligned.nodeWeight.length;
  const n = aligned.visitIds.length;
  const m = aligned.sightingRow.length;
  const storage = Math.floor(point / nL);
  return {
    ...aligned,
    lagsHours: aligned.lagsHours.slice(point % nL, (point % nL) + 1),
    storagesHours: aligned.storagesHours.slice(storage, storage + 1),
    x: aligned.x.slice(point * N, (point + 1) * N),
    slope: aligned.slope.slice(point * n, (point + 1) * n),
    shift: aligned.shift.slice(point * m, (point + 1) * m),
  };
}

/** The gauge as it stands when one decides: no lag beyond the lead, no storage. */
export interface AsItStands {
  readonly fit: LevelFit;
  readonly aligned: Aligned;
  readonly left: LeftOut;
}

/**
 * Fits and scores the chart of somebody who takes the number on the gauge for the creek: the reading at the lead, storage 0.
 *
 * @param aligned the visits on the whole grid.
 * @param options.leadHours, options.link, options.seed, options.draws as the other fits.
 * @returns null where the grid has no such lag, or nothing could be fitted.
 */
export function asItStands(
  aligned: Aligned,
  { leadHours, link, seed, draws }: { leadHours: number; link: Link; seed: number; draws: number },
): AsItStands | null {
  const lag = aligned.lagsHours.findIndex((l) => Math.abs(l - leadHours) < 1e-9);
  const storage = aligned.storagesHours.indexOf(0);
  if (lag < 0 || storage < 0) return null;
  const here = alignedAt(aligned, storage * aligned.lagsHours.length + lag);
  const fit = fitLevels(here, { leadHours, link, seed, draws, modes: ['one-reading'] })['one-reading'];
  if (!(fit.draws.count > 0)) return null;
  const left = leaveFloodOut(fit, here);
  return left.floods.length === 0 ? null : { fit, aligned: here, left };
}

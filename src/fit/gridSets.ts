import type { Aligned } from '../align/types.js';
import type { FitMode } from './types.js';

/** Grid indices of each mode. */
export function gridSets(aligned: Aligned, leadHours: number): Record<FitMode | 'all', number[]> {
  const { lagsHours, storagesHours } = aligned;
  const nL = lagsHours.length;
  const all = Array.from({ length: nL * storagesHours.length }, (_, g) => g);
  const early = (g: number): boolean => lagsHours[g % nL] >= leadHours;
  const single = (g: number): boolean => storagesHours[Math.floor(g / nL)] === 0;
  const effective = all.filter(early);
  if (effective.length === 0)
    throw new RangeError(
      `fitLevels: a lead of ${leadHours} h is longer than the largest lag of the grid, ${lagsHours[nL - 1]} h`,
    );
  return { all, effective, 'one-reading': effective.filter(single), 'any-lag': all.filter(single) };
}

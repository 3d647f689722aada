import type { Aligned } from '../align/types.js';

/** Index of the value of an ascending grid that is nearest to `value`; the lower one on a tie, -1 for an empty grid. */
export function nearestIndex(grid: Float64Array, value: number): number {
  let best = -1;
  let off = Infinity;
  for (let i = 0; i < grid.length; i++) {
    const d = Math.abs(grid[i] - value);
    if (d < off) {
      off = d;
      best = i;
    }
  }
  return best;
}

/** The aligned grid point nearest to a lag and a storage (storage-major, like `Aligned`). */
export function gridPoint(
  { lagsHours, storagesHours }: Pick<Aligned, 'lagsHours' | 'storagesHours'>,
  { lagHours, storageHours }: { readonly lagHours: number; readonly storageHours: number },
): number {
  return nearestIndex(storagesHours, storageHours) * lagsHours.length + nearestIndex(lagsHours, lagHours);
}

/** The aligned grid point of each draw (D). */
export function gridPointOfDraws(
  aligned: Pick<Aligned, 'lagsHours' | 'storagesHours'>,
  draws: { readonly count: number; readonly lagHours: Float64Array; readonly storageHours: Float64Array },
): Int32Array {
  const out = new Int32Array(draws.count);
  for (let d = 0; d < draws.count; d++)
    out[d] = gridPoint(aligned, { lagHours: draws.lagHours[d], storageHours: draws.storageHours[d] });
  return out;
}

/** x of a visit at a grid point: the weighted mean over the matched nodes of its time window; NaN where none is matched. */
export function visitX(aligned: Aligned, { visit, point }: { visit: number; point: number }): number {
  const { nodeStart, nodeWeight, x } = aligned;
  const nodes = nodeWeight.length;
  let sum = 0;
  let weight = 0;
  for (let j = nodeStart[visit]; j < nodeStart[visit + 1]; j++) {
    const value = x[point * nodes + j];
    if (value === value) {
      sum += nodeWeight[j] * value;
      weight += nodeWeight[j];
    }
  }
  return weight > 0 ? sum / weight : NaN;
}

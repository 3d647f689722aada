import type { Aligned } from '../align/types.js';
import { quantileSorted } from '../kernel/quantile.js';

/** Shares of the readings below the breaks that are tried. */
const TRIED_AT = [0.25, 0.4, 0.55, 0.7];

/** States at which a staff's rating may break: gauge values x of grid point g that these shares of its readings lie below, ascending. */
export function placesOfBreaks(aligned: Aligned, { feature, g }: { feature: number; g: number }): readonly number[] {
  const N = aligned.nodeWeight.length;
  const m = aligned.sightingFeature.length;
  const at: number[] = [];
  for (let i = 0; i + 1 < aligned.sightingStart.length; i++)
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) {
      if (aligned.sightingFeature[j] !== feature) continue;
      const x = meanOverWindow(aligned, { visit: i, from: g * N }) + aligned.shift[g * m + j];
      if (x === x) at.push(x);
    }
  if (at.length === 0) return [];
  const sorted = Float64Array.from(at).sort();
  return [...new Set(TRIED_AT.map((share) => quantileSorted(sorted, share)))];
}

/** Mean gauge value over a visit's time window, by the nodes that have one; NaN where none has. */
function meanOverWindow(
  { x, nodeStart, nodeWeight }: Aligned,
  { visit, from }: { visit: number; from: number },
): number {
  let sum = 0;
  let weight = 0;
  for (let q = nodeStart[visit]; q < nodeStart[visit + 1]; q++) {
    if (!(x[from + q] === x[from + q])) continue;
    sum += nodeWeight[q] * x[from + q];
    weight += nodeWeight[q];
  }
  return sum / weight;
}

import type { Aligned } from '../align/types.js';
import { gridPoint, visitX } from '../judge/gridPoint.js';

/**
 * Lowest and highest x among the visits at one lag and storage (nearest grid point).
 *
 * @returns x units; null where no visit is matched there.
 */
export function seenRange(
  aligned: Aligned,
  reading: { readonly lagHours: number; readonly storageHours: number },
): { readonly low: number; readonly high: number } | null {
  const point = gridPoint(aligned, reading);
  let low = Infinity;
  let high = -Infinity;
  for (let visit = 0; visit < aligned.visitIds.length; visit++) {
    const x = visitX(aligned, { visit, point });
    if (x < low) low = x;
    if (x > high) high = x;
  }
  return low <= high ? { low, high } : null;
}

/** Place of the value nearest to a target, the first of two as near; -1 without values. */
export function nearestIndex(values: readonly number[], target: number): number {
  let best = -1;
  for (const [i, value] of values.entries())
    if (best < 0 || Math.abs(value - target) < Math.abs(values[best]! - target)) best = i;
  return best;
}

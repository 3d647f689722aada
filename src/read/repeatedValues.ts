import type { Readings } from './recordJumps.js';

/** A value that is not the record's lowest stands this long without a change before it is noted. */
const LONG_MS = 10 * 86_400_000;

/**
 * Stretches over which a gauge tells the same number again and again: first and last place. A dry bed or the lowest that a sensor sees
 * may last.
 */
export function repeatedValues({
  timesMs,
  values,
}: Readings): readonly { readonly from: number; readonly to: number }[] {
  const lowest = values.reduce((least, v) => Math.min(least, v), Infinity);
  const runs: { from: number; to: number }[] = [];
  for (let from = 0, to = 0; from < values.length; from = ++to) {
    while (to + 1 < values.length && values[to + 1] === values[from]) to++;
    if (values[from]! > lowest && timesMs[to]! - timesMs[from]! >= LONG_MS && to > from + 10) runs.push({ from, to });
  }
  return runs;
}

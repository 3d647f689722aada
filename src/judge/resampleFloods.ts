import { quantileSorted } from '../kernel/quantile.js';
import { createRandom } from '../kernel/random.js';
import { expandedTail } from './skill.js';
import type { Interval } from './types.js';

/** Fewer groups than this can't be resampled into an interval. */
const FEWEST = 2;

/** An interval needs a value in at least this share of the resamples: below, it would describe the lucky ones. */
const LEAST_DEFINED = 0.9;

const UNKNOWN: Interval = [null, null] as const;

/**
 * 80 % intervals of several statistics by resampling whole groups (floods) with replacement: percentiles (quantile type 7), moved outward
 * for few groups (`expandedTail`).
 *
 * @param groups number of groups.
 * @param statistics values (always the same number of them) of a resample in which group g stands `times[g]` times; NaN: no value.
 * @param options.seed seed of the resampling. @param options.resamples default 2000.
 * @returns one interval a statistic; [null, null] with fewer than 2 groups, or with a value in fewer than 9 of 10 resamples.
 * @example resampleFloods(3, (times) => [times[0] / 3], { seed: 1 }) // the share of group 0
 */
export function resampleFloods(
  groups: number,
  statistics: (times: Int32Array) => ArrayLike<number>,
  { seed, resamples = 2000 }: { readonly seed: number; readonly resamples?: number },
): readonly Interval[] {
  const once = new Int32Array(groups).fill(1);
  const size = statistics(once).length;
  if (groups < FEWEST) return new Array<Interval>(size).fill(UNKNOWN);
  const random = createRandom(seed);
  const values = Array.from({ length: size }, () => new Float64Array(resamples));
  const defined = new Int32Array(size);
  const times = new Int32Array(groups);
  for (let b = 0; b < resamples; b++) {
    times.fill(0);
    for (let g = 0; g < groups; g++) times[random.integer(groups)]++;
    const found = statistics(times);
    for (let s = 0; s < size; s++) if (found[s] === found[s]) values[s][defined[s]++] = found[s];
  }
  const tail = expandedTail(groups);
  return values.map((all, s) => {
    if (!(defined[s] >= LEAST_DEFINED * resamples)) return UNKNOWN;
    const sorted = all.subarray(0, defined[s]).sort();
    return [quantileSorted(sorted, tail), quantileSorted(sorted, 1 - tail)] as const;
  });
}

/** Number of each value's group, 0-based in the order of first appearance, and how many groups there are. */
export function groupNumbers(of: ArrayLike<number>): { readonly group: Int32Array; readonly groups: number } {
  const known = new Map<number, number>();
  const group = new Int32Array(of.length);
  for (let i = 0; i < of.length; i++) {
    let at = known.get(of[i]);
    if (at === undefined) known.set(of[i], (at = known.size));
    group[i] = at;
  }
  return { group, groups: known.size };
}

/**
 * How a value between two readings is told: `ln`: on the straight line in ln e between them; `previous`: the earlier one, which is what
 * stands on the gauge until the next reading comes.
 */
export type Interpolation = 'ln' | 'previous';

/**
 * ln e at a time, by default linear in ln e between neighbouring readings.
 *
 * @param options.cursor where the last call ended; neighbouring times find their interval from there in a step or two. Any index will do.
 * @returns NaN outside the record, across a gap wider than `maxGapMs`, or beside a missing reading.
 */
export function lnAt(
  timesMs: Float64Array,
  lnE: Float64Array,
  timeMs: number,
  options: { readonly maxGapMs: number; readonly cursor: Cursor; readonly interpolation?: Interpolation },
): number {
  const n = timesMs.length;
  if (n === 0 || !(timeMs >= timesMs[0]) || timeMs > timesMs[n - 1]) return NaN;
  const { cursor } = options;
  let i = Math.min(Math.max(cursor.index, 0), n - 1);
  // Gallop towards the interval that holds the time, then halve: neighbouring calls find it in one or two steps.
  let lo = i;
  let hi = i;
  let jump = 1;
  if (timesMs[i] <= timeMs) {
    while (hi < n - 1 && timesMs[hi] <= timeMs) {
      lo = hi;
      hi = Math.min(n - 1, hi + jump);
      jump *= 2;
    }
    if (timesMs[hi] <= timeMs) lo = hi;
  } else {
    while (lo > 0 && timesMs[lo] > timeMs) {
      hi = lo;
      lo = Math.max(0, lo - jump);
      jump *= 2;
    }
  }
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (timesMs[mid] <= timeMs) lo = mid;
    else hi = mid;
  }
  i = lo;
  cursor.index = i;
  if (timesMs[i] === timeMs) return lnE[i];
  const span = timesMs[i + 1] - timesMs[i];
  if (span > options.maxGapMs) return NaN;
  // A missing reading ends both ways alike, so that the same visits take part.
  if (options.interpolation === 'previous') return lnE[i + 1] === lnE[i + 1] ? lnE[i] : NaN;
  const w = (timeMs - timesMs[i]) / span;
  return (1 - w) * lnE[i] + w * lnE[i + 1];
}

export interface Cursor {
  index: number;
}

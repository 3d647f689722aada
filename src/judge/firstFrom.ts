/** Index of the first of ascending times that is at or after `from`; their number where none is. */
export function firstFrom(timesMs: Float64Array, from: number): number {
  let low = 0;
  let high = timesMs.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timesMs[middle] < from) low = middle + 1;
    else high = middle;
  }
  return low;
}

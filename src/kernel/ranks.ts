/**
 * Ranks from 1 for the smallest, ties sharing the mean of theirs. NaN is not expected.
 * @example ranks([3, 1, 3]) // [2.5, 1, 2.5]
 */
export function ranks(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const out = new Float64Array(n);
  const order = Array.from(out.keys()).sort((a, b) => values[a] - values[b]);
  for (let i = 0; i < n;) {
    let end = i + 1;
    while (end < n && values[order[end]] === values[order[i]]) end++;
    for (let k = i; k < end; k++) out[order[k]] = (i + 1 + end) / 2;
    i = end;
  }
  return out;
}

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

/**
 * Exact P(Σ d² ≤ s) and P(Σ d² ≥ s) of the rank differences of n pairs without ties and without association, by walking all
 * permutations; n up to 9 (362 880 of them).
 */
export function rankDifferenceTails(s: number, { n }: { n: number }): { lower: number; upper: number } {
  let below = 0;
  let above = 0;
  let all = 0;
  const used = new Uint8Array(n);
  const walk = (i: number, sum: number): void => {
    if (i === n) {
      all++;
      if (sum <= s) below++;
      if (sum >= s) above++;
      return;
    }
    for (let k = 0; k < n; k++) {
      if (used[k]) continue;
      used[k] = 1;
      walk(i + 1, sum + (i - k) * (i - k));
      used[k] = 0;
    }
  };
  walk(0, 0);
  return { lower: below / all, upper: above / all };
}

/** Concordant minus discordant pairs and what ties do to them. */
export interface KendallScore {
  /** S: pairs that rise together minus pairs that do not. */
  readonly s: number;
  /** Pairs without a tie in x, and in y. */
  readonly untiedX: number;
  readonly untiedY: number;
  /** Variance of S without association, corrected for ties. */
  readonly variance: number;
  readonly ties: boolean;
}

/** Σ over groups of equal values of the given function of the group's size. */
function overTies(values: ArrayLike<number>, f: (size: number) => number): number {
  const counts = new Map<number, number>();
  for (let i = 0; i < values.length; i++) counts.set(values[i], (counts.get(values[i]) ?? 0) + 1);
  let sum = 0;
  for (const size of counts.values()) sum += f(size);
  return sum;
}

/**
 * Kendall's S of n pairs, with the variance of the tied case (M. G. Kendall, Rank Correlation Methods, 4th ed. 1975, ch. 4;
 * from memory). All pairs are walked: n² time.
 */
export function kendallScore(x: ArrayLike<number>, y: ArrayLike<number>): KendallScore {
  const n = x.length;
  let s = 0;
  for (let i = 1; i < n; i++) for (let j = 0; j < i; j++) s += Math.sign(x[i] - x[j]) * Math.sign(y[i] - y[j]);
  const pairs = (k: number): number => (k * (k - 1)) / 2;
  const first = (k: number): number => k * (k - 1) * (2 * k + 5);
  const two = (k: number): number => k * (k - 1);
  const three = (k: number): number => k * (k - 1) * (k - 2);
  const tiedX = overTies(x, pairs);
  const tiedY = overTies(y, pairs);
  const variance =
    (first(n) - overTies(x, first) - overTies(y, first)) / 18 +
    (n > 2 ? (overTies(x, three) * overTies(y, three)) / (9 * n * (n - 1) * (n - 2)) : 0) +
    (n > 1 ? (overTies(x, two) * overTies(y, two)) / (2 * n * (n - 1)) : 0);
  const all = pairs(n);
  return { s, untiedX: all - tiedX, untiedY: all - tiedY, variance, ties: tiedX > 0 || tiedY > 0 };
}

/**
 * Exact P(S ≥ s) of n pairs without ties and without association, by counting the permutations with each number of inversions.
 * @param s any whole number; P is that of the next value S can take at or above it
 * @example kendallUpperTail(8, { n: 5 }) // 5/120
 */
export function kendallUpperTail(s: number, { n }: { n: number }): number {
  const pairs = (n * (n - 1)) / 2;
  if (s > pairs) return 0;
  if (s <= -pairs) return 1;
  // The distribution is symmetric: P(S < s) = P(S > -s).
  if (s <= 0) return 1 - kendallUpperTail(1 - s, { n });
  // Share of permutations of 1 … m with i inversions; S = pairs - 2·inversions.
  const most = Math.floor((pairs - s) / 2);
  let share = new Float64Array(most + 1);
  share[0] = 1;
  for (let m = 2; m <= n; m++) {
    const next = new Float64Array(most + 1);
    for (let i = 0; i <= most; i++) {
      let sum = 0;
      for (let k = Math.max(0, i - m + 1); k <= i; k++) sum += share[k];
      next[i] = sum / m;
    }
    share = next;
  }
  return share.reduce((a, b) => a + b, 0);
}

/** Noise of n observations in time order: their own, one part shared within a group of neighbours, and an Ornstein-Uhlenbeck drift. */
export interface SharedNoise {
  /** Ascending (n). */
  readonly times: Float64Array;
  /** Number of each observation's group; one group is one run of neighbours (n). */
  readonly group: Int32Array;
  /** Variance of each observation alone (n). */
  readonly own: Float64Array;
  /** Variance of what a group shares, and of the drift. */
  readonly shared: number;
  readonly drift: number;
  /** Time after which the drift's correlation has fallen to 1/e. */
  readonly memory: number;
}

/**
 * Whitens columns by the covariance V = diag(own) + shared·[same group] + drift·exp(-|Δt|/memory): a Kalman filter over (group's part,
 * drift), exact and linear in n.
 *
 * @param columns arrays of n.
 * @returns `product(a, b)` = columnₐᵀ V⁻¹ column_b, ln det V, and each column's mean of the drift at the last observation, with the
 * variance that all have.
 */
export function filterShared(
  { times, group, own, shared, drift, memory }: SharedNoise,
  columns: readonly Float64Array[],
): {
  product(a: number, b: number): number;
  readonly logDet: number;
  readonly last: Float64Array;
  readonly lastVariance: number;
} {
  const n = times.length;
  const m = columns.length;
  const white = columns.map(() => new Float64Array(n));
  const inGroup = new Float64Array(m);
  const last = new Float64Array(m);
  // Covariance of (group's part, drift).
  let [gg, gd, dd] = [shared, 0, drift];
  let logDet = 0;
  for (let i = 0; i < n; i++) {
    if (i > 0) {
      const keep = Math.exp((times[i - 1] - times[i]) / memory);
      dd = keep * keep * dd + (1 - keep * keep) * drift;
      gd *= keep;
      for (let a = 0; a < m; a++) last[a] *= keep;
      if (group[i] !== group[i - 1]) {
        [gg, gd] = [shared, 0];
        inGroup.fill(0);
      }
    }
    const total = gg + 2 * gd + dd + own[i];
    const gainG = (gg + gd) / total;
    const gainD = (gd + dd) / total;
    const sd = Math.sqrt(total);
    logDet += Math.log(total);
    for (let a = 0; a < m; a++) {
      const news = columns[a][i] - inGroup[a] - last[a];
      white[a][i] = news / sd;
      inGroup[a] += gainG * news;
      last[a] += gainD * news;
    }
    gg -= gainG * gainG * total;
    gd -= gainG * gainD * total;
    dd -= gainD * gainD * total;
  }
  return {
    product: (a, b) => white[a].reduce((sum, v, i) => sum + v * white[b][i], 0),
    logDet,
    last,
    lastVariance: dd,
  };
}

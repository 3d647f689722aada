/** Where a series most likely changes its level, by ranks. */
export interface PettittTest {
  readonly kind: 'pettitt';
  /** U_t for t = 1 … n: twice the sum of the first t ranks minus t(n + 1). */
  readonly U: Float64Array;
  /** max |U_t|. */
  readonly K: number;
  /** Number of values before the change: the first t with |U_t| = K; 0 without values. */
  readonly t: number;
  /** min(1, 2 exp(-6K²/(n³ + n²))): approximate, good up to about 0.5; NaN for fewer than 2 values. */
  readonly p: number;
}

/**
 * Pettitt's test of one change-point against none, for independent values. U_t = 2 Σ_{i≤t} r_i - t(n + 1), ties with mean ranks.
 *
 * Source: A. N. Pettitt, "A non-parametric approach to the change-point problem", Applied Statistics 28 (1979) 126-135.
 *
 * @param values in time order, without NaN.
 * @throws RangeError for NaN.
 * @example pettitt(Float64Array.of(1, 2, 8, 9)).t // 2
 */
export function pettitt(values: Float64Array): PettittTest {
  const n = values.length;
  if (values.some((v) => !(v === v))) throw new RangeError('pettitt: values must not be NaN');
  const order = Int32Array.from(values, (_, i) => i).sort((a, b) => values[a] - values[b]);
  const rank = new Float64Array(n);
  for (let from = 0; from < n;) {
    let to = from;
    while (to < n && values[order[to]] === values[order[from]]) to++;
    for (let i = from; i < to; i++) rank[order[i]] = (from + 1 + to) / 2;
    from = to;
  }
  const U = new Float64Array(n);
  let sum = 0;
  let K = 0;
  let t = 0;
  for (let i = 0; i < n; i++) {
    sum += rank[i];
    U[i] = 2 * sum - (i + 1) * (n + 1);
    if (Math.abs(U[i]) > K) {
      K = Math.abs(U[i]);
      t = i + 1;
    }
  }
  const p = n < 2 ? NaN : Math.min(1, 2 * Math.exp((-6 * K * K) / (n ** 3 + n ** 2)));
  return { kind: 'pettitt', U, K, t, p };
}

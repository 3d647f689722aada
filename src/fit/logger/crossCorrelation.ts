/** Correlations at lags -M … M. */
export interface CrossCorrelation {
  readonly kind: 'cross-correlation';
  readonly status: 'ok' | 'too-few-rows' | 'constant';
  /** Steps, -M … M; positive: the first series leads. */
  readonly lags: Int32Array;
  /** 2M + 1; NaN where no pair has both values. */
  readonly correlation: Float64Array;
  /** Pairs behind each. */
  readonly pairs: Int32Array;
  /** ±band holds about 95 % of the correlations of two series that have nothing to do with each other but their own memory. */
  readonly band: number;
  /** Pairs at lag 0 that such memory leaves worth counting. */
  readonly effective: number;
  /** Lag of the largest correlation, in steps, with the top of a parabola through it and its neighbours; NaN where there is none. */
  readonly peakLag: number;
}

const FEWEST = 8;

/**
 * Cross-correlation of two series on one clock: r(k) = Σ (a_t - ā)(b_{t+k} - b̄)/(n·s_a·s_b), with means, sds and n of the whole series, so
 * that far lags shrink (the convention of R's `ccf(b, a)`, whose lag k correlates b_{t+k} with a_t). Missing values (NaN) leave their pairs
 * out; n is then the number of rows that have both at lag 0.
 *
 * The band is 1.96/√n', n' = n·(1 - ρ_a ρ_b)/(1 + ρ_a ρ_b) with the lag-one autocorrelations (Bartlett's formula for two AR(1) series; from
 * memory): without it the memory of flowing water makes any two rivers look related.
 *
 * @param a n values. @param b n values at the same times. @param options.maxLag M, steps.
 * @returns `too-few-rows` below 8 rows with both, `constant` where one never moves; the numbers are then NaN.
 * @throws RangeError for lengths that differ or a maxLag that is not a whole number from 0 on.
 * @example crossCorrelation(lead, sales, { maxLag: 8 }).peakLag
 */
export function crossCorrelation(
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  { maxLag }: { maxLag: number },
): CrossCorrelation {
  if (a.length !== b.length) throw new RangeError(`crossCorrelation: lengths differ, ${a.length} and ${b.length}`);
  if (!Number.isInteger(maxLag) || maxLag < 0)
    throw new RangeError(`crossCorrelation: maxLag must be a whole number from 0 on, got ${maxLag}`);
  const T = a.length;
  let n = 0;
  for (let t = 0; t < T; t++) if (a[t] === a[t] && b[t] === b[t]) n++;
  const x = centred(a);
  const y = centred(b);
  const status = n < FEWEST ? 'too-few-rows' : x.sum2 > 0 && y.sum2 > 0 ? 'ok' : 'constant';
  const lags = Int32Array.from({ length: 2 * maxLag + 1 }, (_, i) => i - maxLag);
  const pairs = new Int32Array(lags.length);
  // Σ over rows scaled to n rows of each, so that a gap in one does not count as a lack of spread.
  const scale = Math.sqrt((x.sum2 / x.count) * (y.sum2 / y.count)) * n;
  const correlation = Float64Array.from(lags, (k, i) => {
    let sum = 0;
    for (let t = Math.max(0, -k); t < Math.min(T, T - k); t++) {
      const product = x.values[t] * y.values[t + k];
      if (!(product === product)) continue;
      sum += product;
      pairs[i]++;
    }
    return status === 'ok' && pairs[i] > 0 ? sum / scale : NaN;
  });
  const memory = lagOne(x.values) * lagOne(y.values);
  const effective = status === 'ok' ? Math.min(n, (n * (1 - memory)) / (1 + memory)) : NaN;
  return Object.freeze({
    kind: 'cross-correlation' as const,
    status,
    lags,
    correlation,
    pairs,
    band: 1.96 / Math.sqrt(effective),
    effective,
    peakLag: peak(lags, correlation),
  });
}

function centred(of: ArrayLike<number>): { values: Float64Array; sum2: number; count: number } {
  let count = 0;
  let mean = 0;
  for (let t = 0; t < of.length; t++) if (of[t] === of[t]) mean += (of[t] - mean) / ++count;
  const values = Float64Array.from(of, (v) => v - mean);
  const sum2 = values.reduce((sum, v) => (v === v ? sum + v * v : sum), 0);
  return { values, sum2, count };
}

/** Lag-one autocorrelation of a centred series. */
export function lagOne(values: Float64Array): number {
  let above = 0;
  let below = 0;
  for (let t = 0; t < values.length; t++) {
    const v = values[t];
    if (!(v === v)) continue;
    below += v * v;
    const next = values[t + 1];
    if (next === next && next !== undefined) above += v * next;
  }
  return below > 0 ? above / below : NaN;
}

function peak(lags: Int32Array, r: Float64Array): number {
  let top = -1;
  for (let i = 0; i < r.length; i++) if (r[i] === r[i] && (top < 0 || r[i] > r[top])) top = i;
  if (top < 0) return NaN;
  const [l, m, h] = [r[top - 1], r[top], r[top + 1]];
  const bend = l - 2 * m + h;
  return lags[top] + (bend < 0 ? (0.5 * (l - h)) / bend : 0);
}

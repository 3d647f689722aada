const HOUR_MS = 3_600_000;

/** Median of the differences of ascending times, ms (mean of the middle two for an even count); NaN with fewer than 2. */
export function usualStepMs(timesMs: Float64Array): number {
  const n = timesMs.length - 1;
  if (n < 1) return NaN;
  const steps = new Float64Array(n);
  for (let i = 0; i < n; i++) steps[i] = timesMs[i + 1]! - timesMs[i]!;
  steps.sort();
  const middle = n >> 1;
  return n % 2 === 1 ? steps[middle]! : (steps[middle - 1]! + steps[middle]!) / 2;
}

/**
 * Widest gap bridged, ms: `maxGapHours` where given; else 3 × the usual step, at least 2 h and at most 6 h. A record coarser than 6 h
 * (daily values) has 3 × its step, as nothing could be interpolated under the cap.
 */
export function widestGapMs(stepMs: number, maxGapHours?: number): number {
  if (maxGapHours !== undefined) return maxGapHours * HOUR_MS;
  if (!(stepMs > 0)) return 2 * HOUR_MS;
  return stepMs > 6 * HOUR_MS ? 3 * stepMs : Math.min(Math.max(3 * stepMs, 2 * HOUR_MS), 6 * HOUR_MS);
}

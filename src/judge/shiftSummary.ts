import type { FloodSpan } from './shiftFloods.js';
import type { ShiftGrid } from './visitStates.js';

/** Date and size of the step, given that there is one. */
export interface StepSummary {
  /** The likeliest gap between two floods: last visit before, first visit after, UTC ms. */
  readonly betweenMs: readonly [number, number];
  /** Probability of that gap. */
  readonly gapProbability: number;
  /**
   * From the last visit before the earliest gap to the first visit after the latest that an 80 % interval of the date takes in, UTC ms.
   */
  readonly date80Ms: readonly [number, number];
  /** ln units of the gauge: positive, the creek now stands higher at the same reading. */
  readonly size: {
    readonly median: number;
    readonly i80: readonly [number, number];
    readonly i95: readonly [number, number];
  };
  /** Visits with a reading before and after the likeliest gap. */
  readonly visitsBefore: number;
  readonly visitsAfter: number;
}

/**
 * @param logCells ln weight of a step of Δ_k in the gap after flood f: logCells[f·size + k]; -Infinity or NaN: none.
 * @param options.timesMs visit times, UTC.
 */
export function summariseStep(
  logCells: readonly number[],
  { spans, grid, timesMs }: { spans: readonly FloodSpan[]; grid: ShiftGrid; timesMs: Float64Array },
): StepSummary {
  const size = 2 * grid.half + 1;
  const top = logCells.reduce((most, v) => (v > most ? v : most), -Infinity);
  const gaps = new Float64Array(spans.length - 1);
  const sizes = new Float64Array(size);
  let total = 0;
  logCells.forEach((v, at) => {
    const w = v === v ? Math.exp(v - top) : 0;
    gaps[Math.floor(at / size)] += w;
    sizes[at % size] += w;
    total += w;
  });
  const gapShare = gaps.map((w) => w / total);
  const sizeShare = sizes.map((w) => w / total);
  const best = gapShare.reduce((at, p, f) => (p > gapShare[at] ? f : at), 0);
  const lastOf = (f: number) => timesMs[spans[f].visits[spans[f].visits.length - 1]];
  const firstAfter = (f: number) => timesMs[spans[f + 1].visits[0]];
  const value = (p: number) => (quantileOfShares(sizeShare, p) - grid.half) * grid.step;
  const count = (part: readonly FloodSpan[]) => part.reduce((sum, { visits }) => sum + visits.length, 0);
  return {
    betweenMs: [lastOf(best), firstAfter(best)] as const,
    gapProbability: gapShare[best],
    date80Ms: [lastOf(gapAt(gapShare, 0.1)), firstAfter(gapAt(gapShare, 0.9))] as const,
    size: {
      median: value(0.5),
      i80: [value(0.1), value(0.9)] as const,
      i95: [value(0.025), value(0.975)] as const,
    },
    visitsBefore: count(spans.slice(0, best + 1)),
    visitsAfter: count(spans.slice(best + 1)),
  };
}

/** First index at which the running sum of the shares reaches p. */
function gapAt(shares: Float64Array, p: number): number {
  let below = 0;
  for (let f = 0; f < shares.length; f++) {
    below += shares[f];
    if (below >= p) return f;
  }
  return shares.length - 1;
}

/** Position at which the running sum reaches p, each share spread evenly over its cell [k - ½, k + ½]. */
function quantileOfShares(shares: Float64Array, p: number): number {
  let below = 0;
  for (let k = 0; k < shares.length; k++) {
    if (shares[k] > 0 && below + shares[k] >= p) return k - 0.5 + (p - below) / shares[k];
    below += shares[k];
  }
  return shares.length - 1;
}

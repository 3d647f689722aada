import { createRandom } from '../../kernel/random.js';

/** A candidate is clearly beaten where another scores better in at least this share of the floods drawn anew. */
export const CLEARLY = 0.8;

/** Draws of whole floods with replacement: times[b·F + f] says how often flood f stands in draw b (B draws). */
export interface FloodDraws {
  readonly floods: number;
  readonly count: number;
  readonly times: Int32Array;
}

/** @param options.count default 1000. */
export function floodDraws(floods: number, { seed, count = 1000 }: { seed: number; count?: number }): FloodDraws {
  const random = createRandom(seed);
  const times = new Int32Array(count * floods);
  for (let b = 0; b < count; b++) for (let f = 0; f < floods; f++) times[b * floods + random.integer(floods)]++;
  return { floods, count, times };
}

/** Total score of each candidate in each draw: sums[c][b]; lower is better. */
export function drawnSums(scores: readonly Float64Array[], { floods: F, count, times }: FloodDraws): Float64Array[] {
  return scores.map((own) => {
    const sums = new Float64Array(count);
    for (let b = 0; b < count; b++) {
      let sum = 0;
      for (let f = 0; f < F; f++) sum += times[b * F + f] * own[f];
      sums[b] = sum;
    }
    return sums;
  });
}

/** Share of the draws in which a's sum is lower than b's; equal sums count half. NaN without draws. */
export function probabilityBetter(a: Float64Array, b: Float64Array): number {
  let wins = 0;
  for (let i = 0; i < a.length; i++) wins += a[i] < b[i] ? 1 : a[i] === b[i] ? 0.5 : 0;
  return wins / a.length;
}

/** Share of the draws in which each candidate has the lowest sum; equal ones share. */
export function probabilityBest(sums: readonly Float64Array[]): number[] {
  const share = sums.map(() => 0);
  const count = sums[0]?.length ?? 0;
  for (let b = 0; b < count; b++) {
    const least = Math.min(...sums.map((s) => s[b]));
    const winners = sums.flatMap((s, c) => (s[b] === least ? [c] : []));
    for (const c of winners) share[c] += 1 / (winners.length * count);
  }
  return share;
}

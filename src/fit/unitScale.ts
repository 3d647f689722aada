import type { Aligned } from '../align/types.js';

/**
 * How much ln units of this gauge move per ln unit of discharge: 1 for discharge; for stage the spread of the visits' x, at most 1, since
 * over visits ln discharge typically spreads by about 1. A stage counted from far below (metres above the sea) spreads by less than a
 * thousandth.
 */
export function unitScale(aligned: Aligned, set: readonly number[]): number {
  if (aligned.parameter === 'discharge') return 1;
  const N = aligned.nodeWeight.length;
  const x = Array.from(aligned.x.subarray(set[0] * N, (set[0] + 1) * N)).filter((v) => v === v);
  const mean = x.reduce((a, b) => a + b, 0) / x.length;
  const sd = Math.sqrt(x.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, x.length - 1));
  return Math.min(1, Math.max(1e-6, sd || 1));
}

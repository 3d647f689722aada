import { normalCdf, normalPdf } from './normal.js';

const LIMIT = 9;
const PER_UNIT = 128;
const SIZE = 2 * LIMIT * PER_UNIT;

/** Φ and φ/128 at multiples of 1/128 between -9 and 9. */
const table = new Float64Array(2 * (SIZE + 1));
for (let i = 0; i <= SIZE; i++) {
  const x = i / PER_UNIT - LIMIT;
  table[2 * i] = normalCdf(x);
  table[2 * i + 1] = normalPdf(x) / PER_UNIT;
}

/**
 * Φ(x) by cubic Hermite interpolation of a table: within 6e-12 (absolute) of `normalCdf`, and several times as fast. For sums over many
 * nodes; where tails matter by themselves use `normalCdf` or `logNormalCdf`. 0 below -9, 1 above 9.
 *
 * Error bound of the interpolant: h⁴/384 · max|Φ⁗| with h = 1/128 and max|Φ⁗| = 1.38/√(2π)·… < 0.6, that is 6e-12.
 */
export function tableNormalCdf(x: number): number {
  if (!(x > -LIMIT)) return x !== x ? NaN : 0;
  if (x >= LIMIT) return 1;
  const place = (x + LIMIT) * PER_UNIT;
  const i = place | 0;
  const t = place - i;
  const at = 2 * i;
  const y0 = table[at];
  const d0 = table[at + 1];
  const rise = table[at + 2] - y0;
  const d1 = table[at + 3];
  return y0 + t * (d0 + t * (3 * rise - 2 * d0 - d1 + t * (d0 + d1 - 2 * rise)));
}

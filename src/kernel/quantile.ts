/** Hyndman & Fan's nine definitions, "Sample quantiles in statistical packages", Amer. Statist. 50 (1996) 361-365. */
export type QuantileType = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9;

/** Rounding of n·p: within this many units of 1 a position counts as whole. */
const FUZZ = 4 * Number.EPSILON;

/**
 * Sample quantile at probability p. Default type 7 (linear between order statistics at (n - 1)p), as R and numpy.
 * @param values any order, not changed; NaN where one is NaN or there are none
 * @param p from 0 to 1
 * @throws RangeError for p outside [0, 1]
 * @example quantile(Float64Array.of(1, 2, 3, 4), 0.5) // 2.5
 */
export function quantile(values: Float64Array, p: number, { type = 7 }: { type?: QuantileType } = {}): number {
  return quantileSorted(values.slice().sort(), p, { type });
}

/** `quantile` of values already ascending (NaN last): no copy, no sorting. */
export function quantileSorted(sorted: Float64Array, p: number, { type = 7 }: { type?: QuantileType } = {}): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`quantile: p must be from 0 to 1, got ${p}`);
  const n = sorted.length;
  if (n === 0 || sorted[n - 1] !== sorted[n - 1]) return NaN;
  const at = (k: number): number => sorted[Math.min(Math.max(k, 1), n) - 1];
  if (type <= 3) {
    const position = type === 3 ? n * p - 0.5 : n * p;
    const whole = Math.floor(position + FUZZ * n);
    const beyond = position > whole + FUZZ * n;
    if (beyond) return at(whole + 1);
    if (type === 1) return at(whole);
    if (type === 2) return (at(whole) + at(whole + 1)) / 2;
    return at(whole % 2 === 0 ? whole : whole + 1);
  }
  const position = interpolatedPosition(n, p, type);
  const whole = Math.floor(position + FUZZ * n);
  const share = position - whole;
  const low = at(whole);
  if (Math.abs(share) < FUZZ * n) return low;
  const high = at(whole + 1);
  // Written so that equal neighbours, infinite ones too, give themselves.
  return low === high ? low : (1 - share) * low + share * high;
}

/** Position among the order statistics 1 … n, for the types that interpolate. */
function interpolatedPosition(n: number, p: number, type: QuantileType): number {
  switch (type) {
    case 4:
      return n * p;
    case 5:
      return n * p + 0.5;
    case 6:
      return (n + 1) * p;
    case 8:
      return (n + 1 / 3) * p + 1 / 3;
    case 9:
      return (n + 0.25) * p + 0.375;
    default:
      return 1 + (n - 1) * p;
  }
}

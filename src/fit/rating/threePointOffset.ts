/**
 * Stage of zero flow from three points of a rating whose discharges are in geometric progression (Q₂² = Q₁·Q₃):
 *
 *   h0 = (h₁·h₃ - h₂²)/(h₁ + h₃ - 2·h₂),
 *
 * exact for a power law. A first look by hand; `fitRating` has the interval. Source: WMO-No. 1044 and ISO 1100-2 (formula from
 * memory).
 * @param stages h₁ < h₂ < h₃, any unit
 * @returns h0 in the same unit; `no-offset` (NaN) where h₂ is not below the middle of the other two: then the points lie on a
 * straight line or bend the other way
 * @throws RangeError unless the three stages are finite and rise
 * @example threePointOffset([2, 4.36078810084939, 10]).offset // 0.3
 */
export function threePointOffset([low, middle, high]: readonly [number, number, number]): {
  readonly kind: 'three-point-offset';
  readonly status: 'ok' | 'no-offset';
  readonly offset: number;
} {
  if (!(low < middle && middle < high && Number.isFinite(low) && Number.isFinite(high)))
    throw new RangeError(`threePointOffset: three rising stages expected, got ${low}, ${middle}, ${high}`);
  const bend = low + high - 2 * middle;
  const ok = bend > 0;
  const offset = ok ? (low * high - middle * middle) / bend : NaN;
  return Object.freeze({ kind: 'three-point-offset', status: ok ? 'ok' : 'no-offset', offset } as const);
}

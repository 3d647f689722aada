/** Speed of a flood wave and the time it takes. */
export interface Celerity {
  readonly kind: 'celerity';
  readonly status: 'ok' | 'no-flow';
  readonly dischargeM3s: number;
  readonly velocityMs: number;
  readonly celerityMs: number;
  /** celerity/velocity. */
  readonly ratio: number;
}

function mustBe(
  caller: string,
  values: Readonly<Record<string, number>>,
  { zero = [] }: { zero?: string[] } = {},
): void {
  for (const [name, value] of Object.entries(values))
    if (!(zero.includes(name) ? value >= 0 : value > 0) || value === Infinity)
      throw new RangeError(
        `${caller}: ${name} must be ${zero.includes(name) ? '0 or more' : 'above 0'} and finite, got ${value}`,
      );
}

/**
 * Celerity from a rating and the width of the water (Kleitz-Seddon): c = (1/B)·dQ/dh, with Q = C·(h - h0)^b so
 * dQ/dh = b·Q/(h - h0). Source: Seddon's principle as in WMO-No. 168 and Chow, Maidment & Mays 1988 (from memory). The width
 * is that of the reach the wave runs through, not of the gauge's section alone.
 * @param stageM stage h, m
 * @param rating C (m³/s for a depth of 1 m), b, h0 (m), widthM B
 * @returns at or below h0 the status `no-flow` and NaN; velocity and ratio are NaN, a rating does not know the area
 * @throws RangeError for C, b or B not above 0
 * @example celerityFromRating(1.5, { coefficient: 5, exponent: 1.8, offsetM: 0.3, widthM: 12 }).celerityMs // 0.8678
 */
export function celerityFromRating(
  stageM: number,
  {
    coefficient,
    exponent,
    offsetM,
    widthM,
  }: { coefficient: number; exponent: number; offsetM: number; widthM: number },
): Celerity {
  mustBe('celerityFromRating', { coefficient, exponent, widthM });
  const depth = stageM - offsetM;
  const flows = depth > 0;
  const dischargeM3s = flows ? coefficient * depth ** exponent : NaN;
  return Object.freeze({
    kind: 'celerity',
    status: flows ? 'ok' : 'no-flow',
    dischargeM3s,
    velocityMs: NaN,
    celerityMs: (exponent * dischargeM3s) / (depth * widthM),
    ratio: NaN,
  } as const);
}

/**
 * Kinematic wave celerity of a trapezoidal channel by Manning's formula: V = R^(2/3)·√S/n and
 *
 *   c = dQ/dA = 5/3·V - 2/3·V·R·dP/dA.
 *
 * Bottom width 0 is a triangle (c = 4/3·V exactly), side slope 0 a rectangle, bottom width Infinity the wide channel
 * (c = 5/3·V, discharge infinite). Source: Chow, Maidment & Mays, Applied Hydrology, 1988, ch. 9 (from memory). Steep, rough
 * creeks have pools and drops: it is a measure of size, no forecast.
 * @param depthM depth of the water, m
 * @param channel bottomWidthM, sideSlope (horizontal per vertical, default 0), roughness (Manning's n), slope (m/m)
 * @throws RangeError for a depth, roughness or slope not above 0, a negative width or side slope, or a channel without any
 * @example kinematicCelerity(1.2, { bottomWidthM: Infinity, roughness: 0.045, slope: 0.012 }).celerityMs // 4.58
 */
export function kinematicCelerity(
  depthM: number,
  {
    bottomWidthM,
    sideSlope = 0,
    roughness,
    slope,
  }: { bottomWidthM: number; sideSlope?: number; roughness: number; slope: number },
): Celerity {
  mustBe('kinematicCelerity', { depthM, roughness, slope, sideSlope }, { zero: ['sideSlope'] });
  if (!(bottomWidthM >= 0))
    throw new RangeError(`kinematicCelerity: bottomWidthM must be 0 or more, got ${bottomWidthM}`);
  if (bottomWidthM === 0 && sideSlope === 0)
    throw new RangeError('kinematicCelerity: a channel needs a bottom width or a side slope');
  const wide = bottomWidthM === Infinity;
  const sides = 2 * Math.sqrt(1 + sideSlope * sideSlope);
  const area = depthM * (bottomWidthM + sideSlope * depthM);
  const radius = wide ? depthM : area / (bottomWidthM + sides * depthM);
  const velocityMs = (radius ** (2 / 3) * Math.sqrt(slope)) / roughness;
  // dP/dA = (dP/dy)/(dA/dy)
  const perimeterPerArea = wide ? 0 : sides / (bottomWidthM + 2 * sideSlope * depthM);
  const ratio = 5 / 3 - (2 / 3) * radius * perimeterPerArea;
  return Object.freeze({
    kind: 'celerity',
    status: 'ok',
    dischargeM3s: area * velocityMs,
    velocityMs,
    celerityMs: ratio * velocityMs,
    ratio,
  } as const);
}

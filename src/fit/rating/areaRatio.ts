/** A discharge carried over by the ratio of drainage areas. */
export interface AreaRatio {
  readonly kind: 'area-ratio';
  readonly status: 'ok' | 'far';
  readonly statusSentence: string;
  /** In the unit given. */
  readonly discharge: number;
  /** Area here over area at the gauge. */
  readonly ratio: number;
}

/** Outside these ratios the method is usually not recommended (common practice). */
const NEAR = [0.5, 1.5] as const;

/**
 * Discharge of an ungauged place from a gauge by the ratio of drainage areas: Q = Qg·(A/Ag)^φ. φ = 1 is plain proportion;
 * regional studies give others, mostly 0.7 to 1 and by percentile of flow (W. H. Asquith, M. C. Roussel & J. Vrabel, USGS SIR
 * 2006-5286, for Texas). The status is `far` where the ratio is outside 0.5 to 1.5 (common practice).
 * @param gaugeDischarge Qg ≥ 0, any unit
 * @param options areaKm2 A here, gaugeAreaKm2 Ag, exponent φ (default 1)
 * @throws RangeError for a negative discharge, an area or exponent not above 0
 * @example areaRatio(120, { areaKm2: 40, gaugeAreaKm2: 250 }).discharge // 19.2
 */
export function areaRatio(
  gaugeDischarge: number,
  { areaKm2, gaugeAreaKm2, exponent = 1 }: { areaKm2: number; gaugeAreaKm2: number; exponent?: number },
): AreaRatio {
  if (!(gaugeDischarge >= 0 && gaugeDischarge < Infinity))
    throw new RangeError(`areaRatio: gaugeDischarge must be 0 or more and finite, got ${gaugeDischarge}`);
  for (const [name, value] of Object.entries({ areaKm2, gaugeAreaKm2, exponent }))
    if (!(value > 0 && value < Infinity))
      throw new RangeError(`areaRatio: ${name} must be above 0 and finite, got ${value}`);
  const ratio = areaKm2 / gaugeAreaKm2;
  const near = ratio >= NEAR[0] && ratio <= NEAR[1];
  return Object.freeze({
    kind: 'area-ratio',
    status: near ? 'ok' : 'far',
    statusSentence: near
      ? 'The two catchments are of similar size.'
      : `This catchment is ${Number(ratio.toPrecision(2))} times the gauge's: outside ${NEAR[0]} to ${NEAR[1]} the ratio of areas is a rough guess.`,
    discharge: gaugeDischarge * ratio ** exponent,
    ratio,
  } as const);
}

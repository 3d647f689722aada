/** Seconds in an hour. */
const HOUR = 3600;
/** m/s², as in the report. */
const GRAVITY = 9.80665;
/** The leading edge arrives at this share of the peak's time. */
const LEADING = 0.89;

/** One of the report's equations and what it gives. */
export interface TravelTimeRow {
  /** `probable`: the regression; `fastest`: its envelope, which nearly no measured peak was above. */
  readonly estimate: 'probable' | 'fastest';
  /** What it needs to know. */
  readonly basis: 'slope' | 'mean-flow' | 'flow-only';
  readonly equation: number;
  readonly velocityMs: number;
  readonly peakHours: number;
  readonly leadingEdgeHours: number;
}

export interface TravelTime {
  readonly kind: 'travel-time';
  readonly status: 'ok';
  /** This time is a dissolved tracer's; a flood wave runs faster. */
  readonly of: 'tracer';
  readonly rows: readonly TravelTimeRow[];
}

/**
 * Travel time of a dissolved tracer's peak through a reach, from drainage area and flow (Jobson 1996). With D' =
 * Da^1.25·√g/Qa, Q' = Q/Qa and D" = Da^1.25·√g/Q the velocities of the peak (m/s; areas in m², the report's numbers of the equations) are
 *
 *   12: 0.094 + 0.0143·D'^0.919·Q'^-0.469·S^0.159·Q/Da     13: 0.25 + 0.02·(same)
 *   14: 0.020 + 0.051·D'^0.821·Q'^-0.465·Q/Da              15: 0.2 + 0.093·(same)
 *   16: 0.152 + 8.1·D"^0.595·Q/Da                          17: 0.2 + 40·(same)
 *
 * It is a tracer's time, NOT a flood wave's: a wave is faster (5/3 of the velocity in a wide channel), so the lag of a
 * gauge should come out shorter.
 * Source: H. E. Jobson, Prediction of traveltime and longitudinal dispersion in rivers and streams, USGS WRIR 96-4013, 1996;
 * constants as in public source text of the USGS that implements it.
 * @param lengthM length of the reach, m
 * @param reach areaKm2 Da; flowM3s Q; meanFlowM3s Qa (equations 12-15) ; slope S, m/m (12 and 13)
 * @returns two rows for each set of inputs that is complete
 * @throws RangeError for a value not above 0
 * @example travelTime(15000, { areaKm2: 390, flowM3s: 3.35, meanFlowM3s: 4.5 }).rows[0].peakHours // 15.7
 */
export function travelTime(
  lengthM: number,
  { areaKm2, flowM3s, meanFlowM3s, slope }: { areaKm2: number; flowM3s: number; meanFlowM3s?: number; slope?: number },
): TravelTime {
  for (const [name, value] of Object.entries({ lengthM, areaKm2, flowM3s, meanFlowM3s, slope }))
    if (value !== undefined && !(value > 0 && value < Infinity))
      throw new RangeError(`travelTime: ${name} must be above 0 and finite, got ${value}`);
  const area = areaKm2 * 1e6;
  const perArea = flowM3s / area;
  const scaled = (flow: number): number => (area ** 1.25 * Math.sqrt(GRAVITY)) / flow;
  const rows: TravelTimeRow[] = [];
  const add = (basis: TravelTimeRow['basis'], equation: number, velocities: readonly [number, number]): void => {
    velocities.forEach((velocityMs, i) => {
      const peakHours = lengthM / velocityMs / HOUR;
      rows.push(
        Object.freeze({
          estimate: i === 0 ? 'probable' : 'fastest',
          basis,
          equation: equation + i,
          velocityMs,
          peakHours,
          leadingEdgeHours: LEADING * peakHours,
        } as const),
      );
    });
  };
  if (meanFlowM3s !== undefined) {
    const relative = flowM3s / meanFlowM3s;
    if (slope !== undefined) {
      const v = scaled(meanFlowM3s) ** 0.919 * relative ** -0.469 * slope ** 0.159 * perArea;
      add('slope', 12, [0.094 + 0.0143 * v, 0.25 + 0.02 * v]);
    }
    const v = scaled(meanFlowM3s) ** 0.821 * relative ** -0.465 * perArea;
    add('mean-flow', 14, [0.02 + 0.051 * v, 0.2 + 0.093 * v]);
  }
  const v = scaled(flowM3s) ** 0.595 * perArea;
  add('flow-only', 16, [0.152 + 8.1 * v, 0.2 + 40 * v]);
  return Object.freeze({ kind: 'travel-time', status: 'ok', of: 'tracer', rows: Object.freeze(rows) } as const);
}

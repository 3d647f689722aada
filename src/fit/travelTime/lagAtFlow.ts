/**
 * Lag at a flow: L = L0·(Q/Q0)^-m, never below `atLeastHours` in size where that is given.
 *
 * Where m comes from: a kinematic wave in a wide channel by Manning's formula has V ∝ y^(2/3) and Q ∝ y·V ∝ y^(5/3), so y ∝ Q^0.6, V ∝
 * Q^0.4, and its speed 5/3·V ∝ Q^0.4: over a fixed distance the lag goes with Q^-0.4 (Chow, Maidment & Mays, Applied Hydrology, 1988, ch.
 * 9; from memory). Narrow and triangular sections have less (0.25 for a triangle), pools and drops more: they shorten the way as they
 * drown.
 *
 * @param flow Q, at the gauge, above 0. @param options.lagHours L0, the lag at Q0; its sign stays.
 * @param options.flowAt Q0, same unit. @param options.exponent m,
 *   0: one lag for all flows. @param options.atLeastHours the lead of a plan: a reading that is not there yet can't be used. Default none.
 * @throws RangeError for a Q0 not above 0 or an m below 0.
 * @example lagAtFlow(40, { lagHours: 4, flowAt: 10, exponent: 0.4 }) // 2.297
 */
export function lagAtFlow(
  flow: number,
  {
    lagHours,
    flowAt,
    exponent,
    atLeastHours = -Infinity,
  }: { lagHours: number; flowAt: number; exponent: number; atLeastHours?: number },
): number {
  if (!(flowAt > 0)) throw new RangeError(`lagAtFlow: flowAt must be above 0, got ${flowAt}`);
  if (!(exponent >= 0)) throw new RangeError(`lagAtFlow: exponent must be 0 or more, got ${exponent}`);
  return Math.max(atLeastHours, lagHours * (flow / flowAt) ** -exponent);
}

/** Exponent of a wide channel, and how far real ones may lie from it (weak: 0 to 0.8 hold 95 %). */
export const FLOW_LAG_PRIOR = { exponent: 0.4, sd: 0.2 } as const;

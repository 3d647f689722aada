/**
 * Exact factors to SI. 1 ft = 0.3048 m exactly, so 1 ft³ = 0.028316846592 m³ exactly.
 * Source: NIST Special Publication 811 (2008), Appendix B; the international foot of 1959.
 */
const TO_SI = {
  'ft3/s': 0.028316846592,
  'm3/s': 1,
  'L/s': 0.001,
  ft: 0.3048,
  m: 1,
  cm: 0.01,
} as const;

/** Units of discharge. */
export type DischargeUnit = 'ft3/s' | 'm3/s' | 'L/s';
/** Units of stage. */
export type StageUnit = 'ft' | 'm' | 'cm';
/** Units of a gauge’s readings. */
export type GaugeUnit = DischargeUnit | StageUnit;
/** What a gauge measures. */
export type Parameter = 'discharge' | 'stage';

export const DISCHARGE_UNITS: readonly DischargeUnit[] = ['ft3/s', 'm3/s', 'L/s'];
export const STAGE_UNITS: readonly StageUnit[] = ['ft', 'm', 'cm'];

/** `discharge` or `stage`, by the unit. */
export function parameterOfUnit(unit: GaugeUnit): Parameter {
  return (STAGE_UNITS as readonly string[]).includes(unit) ? 'stage' : 'discharge';
}

/**
 * A value in another unit of the same kind.
 * @throws RangeError when one unit is a discharge and the other a stage.
 */
export function convertUnit(value: number, from: GaugeUnit, to: GaugeUnit): number {
  if (parameterOfUnit(from) !== parameterOfUnit(to))
    throw new RangeError(`convertUnit: cannot turn ${from} into ${to}: one is a discharge, the other a stage`);
  return from === to ? value : (value * TO_SI[from]) / TO_SI[to];
}

/** The unit of the other system that people read beside this one: ft³/s and m³/s, ft and m. */
export function otherSystemUnit(unit: GaugeUnit): GaugeUnit {
  switch (unit) {
    case 'ft3/s':
      return 'm3/s';
    case 'm3/s':
    case 'L/s':
      return 'ft3/s';
    case 'ft':
      return 'm';
    case 'm':
    case 'cm':
      return 'ft';
  }
}

/** The unit as people write it. */
export function unitLabel(unit: string): string {
  return unit.replace('3/s', '³/s');
}

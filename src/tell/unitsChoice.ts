import { figures, significantInward } from '../series/format.js';
import { convertUnit, otherSystemUnit, type GaugeUnit } from '../series/units.js';

/** Which unit system an output shows. `both`: the gauge's own first. */
export type UnitsChoice = 'metric' | 'us' | 'both';
const US_UNITS: readonly GaugeUnit[] = ['ft3/s', 'ft'];

/** The units to show for a gauge, one or two of them. */
export function unitsShown(unit: GaugeUnit, units: UnitsChoice): readonly GaugeUnit[] {
  return [unit, otherSystemUnit(unit)].filter((one) => units === 'both' || US_UNITS.includes(one) === (units === 'us'));
}

/** A range in a unit as texts of three figures, rounded so that it never reaches past itself. */
export function inwardIn(
  [from, to]: readonly [number, number],
  own: GaugeUnit,
  unit: GaugeUnit,
): readonly [string, string] {
  const show = (value: number, end: 'low' | 'high') => figures(significantInward(convertUnit(value, own, unit), end));
  return [show(from, 'low'), show(to, 'high')];
}

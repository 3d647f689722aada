import type { Edge, GaugeChart, Interval, LevelChart, SureRange } from '../../chart/types.js';
import { convertUnit, unitLabel, type GaugeUnit } from '../../series/units.js';

/** Which unit system a text output shows. `both`: the gauge's own first. */
export type UnitsChoice = 'metric' | 'us' | 'both';
export const UNITS_CHOICES: readonly UnitsChoice[] = ['metric', 'us', 'both'];

type ChartGauge = GaugeChart['gauge'];

/** One unit that is shown: the gauge's own, or that of the other system. */
export interface UnitColumn {
  readonly unit: GaugeUnit;
  readonly label: string;
  readonly own: GaugeUnit;
}

const US_UNITS: readonly GaugeUnit[] = ['ft3/s', 'ft'];

/** The units to show for a gauge, one or two of them. */
export function unitColumns(gauge: ChartGauge, units: UnitsChoice): readonly UnitColumn[] {
  return [gauge.unit, gauge.otherUnit]
    .filter((unit) => units === 'both' || US_UNITS.includes(unit) === (units === 'us'))
    .map((unit) => ({ unit, label: unitLabel(unit), own: gauge.unit }));
}

/** `from to`, `below x`, `above x` or `any`, each bound as given by `show`. */
export function intervalText([low, high]: Interval, show: (value: number, side: 'low' | 'high') => string): string {
  if (low === null) return high === null ? 'any' : `below ${show(high, 'high')}`;
  return high === null ? `above ${show(low, 'low')}` : `${show(low, 'low')} to ${show(high, 'high')}`;
}

/** A bound with `digits` digits, rounded outward so that the interval shown is never narrower than the computed one. */
export function outward(value: number, digits: number, side: 'low' | 'high'): string {
  return directed(value, digits, side === 'low' ? Math.floor : Math.ceil);
}

/** A bound with `digits` digits, rounded inward so that the range shown never reaches past the computed one. */
export function inward(value: number, digits: number, side: 'low' | 'high'): string {
  return directed(value, digits, side === 'low' ? Math.ceil : Math.floor);
}

function directed(value: number, digits: number, round: (scaled: number) => number): string {
  const scale = 10 ** digits;
  const scaled = value * scale;
  const nearest = Math.round(scaled);
  // 4.1 * 10 is not 41 in binary: a value that stands on a step stays there.
  const steps = Math.abs(scaled - nearest) < 1e-9 * Math.max(1, Math.abs(nearest)) ? nearest : round(scaled);
  return (steps / scale).toFixed(digits);
}

/** An edge in one unit: the rounded value and its 80 % interval, as people read them. */
export function edgeTexts(edge: Edge, column: UnitColumn): { value: string; interval80: string } {
  const own = column.unit === column.own;
  const digits = own ? edge.digits : edge.digitsOther;
  const value = own ? edge.rounded : edge.roundedOther;
  const show = (bound: number, side: 'low' | 'high') =>
    outward(convertUnit(bound, column.own, column.unit), digits, side);
  return { value: value.toFixed(digits), interval80: intervalText(edge.i80, show) };
}

/** A sure range in one unit, or undefined where it is empty. */
export function sureText(range: SureRange, column: UnitColumn): string | undefined {
  if (range.empty) return undefined;
  const own = column.unit === column.own;
  const digits = own ? range.digits : range.digitsOther;
  const bounds: Interval = own ? [range.roundedFrom, range.roundedTo] : [range.roundedFromOther, range.roundedToOther];
  return intervalText(bounds, (value) => value.toFixed(digits));
}

/** Lowest and highest gauge value of any visit in one unit, with the finest digits that the edges use. */
export function seenTexts(level: LevelChart, column: UnitColumn): { from: string; to: string } {
  const own = column.unit === column.own;
  const digits = Math.max(0, ...level.edges.map((edge) => (own ? edge.digits : edge.digitsOther)));
  const show = (value: number, side: 'low' | 'high') =>
    inward(convertUnit(value, column.own, column.unit), digits, side);
  return { from: show(level.seen.from, 'low'), to: show(level.seen.to, 'high') };
}

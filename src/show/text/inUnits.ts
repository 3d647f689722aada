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
export function unitColumns(gauge: Pick<ChartGauge, 'unit' | 'otherUnit'>, units: UnitsChoice): readonly UnitColumn[] {
  return [gauge.unit, gauge.otherUnit]
    .filter((unit) => units === 'both' || US_UNITS.includes(unit) === (units === 'us'))
    .map((unit) => ({ unit, label: unitLabel(unit), own: gauge.unit }));
}

/** `from to`, `below x`, `above x` or `any`, each bound as given by `show`. */
export function intervalText([low, high]: Interval, show: (value: number, side: 'low' | 'high') => string): string {
  if (low === null) return high === null ? 'any' : `below ${show(high, 'high')}`;
  return high === null ? `above ${show(low, 'low')}` : `${show(low, 'low')} to ${show(high, 'high')}`;
}

/** A bound rounded outward, so that the interval shown is never narrower than the computed one; at most 3 figures. */
export function outward(value: number, digits: number, side: 'low' | 'high'): string {
  return directed(value, Math.min(digits, figureDigits(value)), side === 'low' ? Math.floor : Math.ceil);
}

/** A bound with 3 figures, rounded inward so that the range shown never reaches past the computed one. */
export function inward(value: number, side: 'low' | 'high'): string {
  return directed(value, figureDigits(value), side === 'low' ? Math.ceil : Math.floor);
}

/** Digits after the point that give 3 figures; negative from 1000 on. */
function figureDigits(value: number): number {
  return value === 0 ? 0 : 2 - Math.floor(Math.log10(Math.abs(value)));
}

function directed(value: number, digits: number, round: (scaled: number) => number): string {
  const scale = 10 ** digits;
  const scaled = value * scale;
  const nearest = Math.round(scaled);
  // 4.1 * 10 is not 41 in binary: a value that stands on a step stays there.
  const steps = Math.abs(scaled - nearest) < 1e-9 * Math.max(1, Math.abs(nearest)) ? nearest : round(scaled);
  return (steps / scale).toFixed(Math.max(0, digits));
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

/**
 * A sure range in one unit, or undefined where it is empty. The lowest class has only an upper bound and the highest only
 * a lower one: where they are no longer seen is said beside them.
 */
export function sureText(
  range: SureRange,
  column: UnitColumn,
  { lowest = false, highest = false }: { lowest?: boolean; highest?: boolean } = {},
): string | undefined {
  if (range.empty || range.from === null || range.to === null) return undefined;
  const own = column.unit === column.own;
  const digits = own ? range.digits : range.digitsOther;
  const from = own ? range.roundedFrom : range.roundedFromOther;
  const to = own ? range.roundedTo : range.roundedToOther;
  const low = lowest ? null : from;
  const high = highest ? null : to;
  // A range narrower than the rounding step has no rounded bounds; it is shown with 3 figures.
  if (from === null || to === null) return narrowText([lowest ? null : range.from, highest ? null : range.to], column);
  // As few digits as both bounds need: a bound that is the limit of what was seen may have asked for more.
  const needed = Math.max(...[low, high].map((bound) => (bound === null ? 0 : digitsNeeded(bound, digits))));
  return intervalText([low, high], (value) => value.toFixed(needed));
}

function narrowText([low, high]: Interval, column: UnitColumn): string {
  const show = (value: number, side: 'low' | 'high') => inward(convertUnit(value, column.own, column.unit), side);
  // Rounded inward, the bounds of a very narrow range meet or cross.
  if (low !== null && high !== null && Number(show(low, 'low')) >= Number(show(high, 'high')))
    return `about ${show((low + high) / 2, 'high')}`;
  return intervalText([low, high], show);
}

function digitsNeeded(value: number, digits: number): number {
  return String(Number(value.toFixed(digits))).split('.')[1]?.length ?? 0;
}

/** Lowest and highest gauge value of any visit in one unit. */
export function seenTexts(level: Pick<LevelChart, 'seen'>, column: UnitColumn): { from: string; to: string } {
  const { from, to } = level.seen;
  return {
    from: inward(convertUnit(from, column.own, column.unit), 'low'),
    to: inward(convertUnit(to, column.own, column.unit), 'high'),
  };
}

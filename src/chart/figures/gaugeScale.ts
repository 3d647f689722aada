import type { ReadingWay } from '../../fit/types.js';
import { convertUnit, unitLabel, type GaugeUnit } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import type { GaugeChart } from '../types.js';
import { axisStyle, axisTitle, drawn, type PlotlyObject } from './figure.js';
import { axisTicks } from './axisTicks.js';
import { plotlyText } from './plotlyText.js';

/** The axis of one gauge, the same in every figure that shows this gauge. */
export interface GaugeScale {
  readonly kind: 'log' | 'linear';
  readonly unit: GaugeUnit;
  readonly otherUnit: GaugeUnit;
  /** Ends of the axis in `unit`. */
  readonly from: number;
  readonly to: number;
}

/** Share of the seen span (ln for discharge) that stays visible on both sides, so that "not seen" has a place. */
const MARGIN_SHARE = 0.09;
/** How much farther the axis goes, in the same shares, to keep the 80 % interval of an edge on the paper. */
const MOST_SHARE = 0.5;

/**
 * The scale of a gauge over all charts made from it: what was seen in any run by any reading, a margin for what was not, and
 * the verdict's edges with their 80 % intervals where they are not far off. Discharge is logarithmic, stage linear (a stage
 * may be zero or less).
 *
 * @param charts all of the same gauge, at least one. Without a fitted one the scale comes from its visits and its record.
 * @throws RangeError when `charts` is empty.
 */
export function gaugeScale(charts: readonly GaugeChart[]): GaugeScale {
  const first = charts[0];
  if (first === undefined) throw new RangeError('gaugeScale: give at least one chart of the gauge');
  const kind = first.gauge.parameter === 'discharge' ? 'log' : 'linear';
  const usable = (value: number | null): value is number =>
    value !== null && Number.isFinite(value) && (kind === 'linear' || value > 0);
  const levels = charts.flatMap(({ level }) => level ?? []);
  const seen = [
    ...levels.flatMap((level) => [level.seen.from, level.seen.to]),
    ...charts.flatMap((chart) => chart.visits.map(({ reading }) => reading)),
  ].filter(usable);
  const values = seen.length > 0 ? seen : charts.flatMap((chart) => chart.hydrograph.values).filter(usable);
  const to = kind === 'log' ? Math.log : (value: number) => value;
  const back = kind === 'log' ? Math.exp : (value: number) => value;
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    low = Math.min(low, to(value));
    high = Math.max(high, to(value));
  }
  if (!(low <= high)) [low, high] = [0, 1];
  // One value, or all the same: a span to draw in.
  const least = kind === 'log' ? 0.2 : Math.max(0.1, 0.1 * Math.abs(low));
  if (high - low < least) [low, high] = [low - least, high + least];
  const span = high - low;
  const ends = levels
    .flatMap((level) => level.edges.filter((edge) => edge.feature === VERDICT).flatMap((edge) => [...edge.i80]))
    .filter(usable)
    .map(to);
  const reach = (farthest: number) => span * Math.min(MOST_SHARE, Math.max(MARGIN_SHARE, farthest / span + 0.04));
  return Object.freeze({
    kind,
    unit: first.gauge.unit,
    otherUnit: first.gauge.otherUnit,
    from: back(low - reach(ends.reduce((most, end) => Math.max(most, low - end), 0))),
    to: back(high + reach(ends.reduce((most, end) => Math.max(most, end - high), 0))),
  });
}

/** A value in the coordinates that plotly's `range` and annotations use on this axis: log10 on a log axis. */
export function axisPlace(value: number, kind: GaugeScale['kind']): number {
  return kind === 'log' ? Math.log10(value) : value;
}

/** Where a value lies along the axis, 0 to 1. */
export function axisShare(value: number, scale: GaugeScale): number {
  const at = (v: number) => axisPlace(v, scale.kind);
  return (at(value) - at(scale.from)) / (at(scale.to) - at(scale.from));
}

/** A value no farther out than the ends of the axis. */
export function clampTo(scale: GaugeScale, value: number): number {
  return drawn(Math.min(scale.to, Math.max(scale.from, value)));
}

/** What the axis of a gauge shows: the way of reading, the gauge's name where there is room, and the unit. */
export function gaugeTitle(
  name: string,
  { way, unit, narrow }: { readonly way: ReadingWay; readonly unit: GaugeUnit; readonly narrow: boolean },
): string {
  const what = way === 'effective' ? 'effective reading' : 'reading';
  return narrow
    ? `${what}, ${unitLabel(unit)}`
    : `${what} of ${plotlyText(name, { maxChars: 34 })}, ${unitLabel(unit)}`;
}

/** A log or straight axis from one value to another, marked where round values have room. */
export function valueAxis(
  { from, to }: { readonly from: number; readonly to: number },
  { kind, ...room }: { readonly kind: GaugeScale['kind']; readonly px: number; readonly across?: boolean },
): PlotlyObject {
  const ticks = axisTicks({ from, to }, { kind, ...room });
  return {
    type: kind,
    range: [axisPlace(from, kind), axisPlace(to, kind)],
    tickvals: ticks.values,
    ticktext: ticks.texts,
  };
}

/** The gauge as plotly axes along the bottom (own unit, beside the y axis `bottom`) and along the top (the other unit system). */
export function gaugeAxes(
  scale: GaugeScale,
  {
    px,
    name,
    way,
    narrow,
    bottom = 'y',
  }: { px: number; name: string; way: ReadingWay; narrow: boolean; bottom?: string },
): { readonly xaxis: PlotlyObject; readonly xaxis2: PlotlyObject } {
  const { kind, unit, otherUnit } = scale;
  const other = (value: number) => convertUnit(value, unit, otherUnit);
  const otherEnds = { from: other(scale.from), to: other(scale.to) };
  return {
    xaxis: axisStyle({
      ...valueAxis(scale, { kind, px }),
      anchor: bottom,
      title: axisTitle(gaugeTitle(name, { way, unit, narrow })),
    }),
    xaxis2: axisStyle({
      ...valueAxis(otherEnds, { kind, px }),
      anchor: 'y',
      side: 'top',
      overlaying: 'x',
      showgrid: false,
      title: axisTitle(unitLabel(otherUnit), 4),
    }),
  };
}

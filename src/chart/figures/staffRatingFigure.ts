import { parameterOfUnit, unitLabel } from '../../series/units.js';
import type { StaffRating } from '../gauges/types.js';
import { axisTicks } from './axisTicks.js';
import { curveAndResiduals, panelPx, spanOf } from './curveAndResiduals.js';
import { axisTitle, drawn, NARROW_PX, WIDE_PX, type Figure } from './figure.js';
import { axisPlace, gaugeTitle, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

/** Left and right of the panels, px. */
const SIDES_PX = 92;

/**
 * A staff on the creek against a gauge's effective reading: the median curve, the 80 % interval of the curve (dark) and of one reading (light), and below it what each
 * reading of the visits lies off, in the staff's unit. Beyond the readings the curve is dashed. A flow stands on a logarithmic axis.
 *
 * @param rating from gauges.json. @param options.name, options.unit the staff's. @param options.scale the gauge's own, so that its axis is that of its other figures; default as
 *   far as the readings go.
 * @returns undefined with fewer than two places of the curve, or none that the axis can show.
 * @example staffRatingFigure(staff.gauges[0], { name: staff.name, unit: staff.unit })
 */
export function staffRatingFigure(
  rating: StaffRating,
  { name, unit, scale }: { name: string; unit: string; scale?: GaugeScale | undefined },
): Figure | undefined {
  const log = parameterOfUnit(rating.unit) === 'discharge';
  const drawable = (value: number): boolean => Number.isFinite(value) && (!log || value > 0);
  const points = rating.points.filter(({ gaugeValue }) => drawable(gaugeValue));
  const [low, high] = spanOf(
    (points.length > 0 ? points.map((p) => p.gaugeValue) : rating.gaugeValues).filter(drawable),
  );
  const at = log ? Math.log : (value: number) => value;
  const back = log ? Math.exp : (value: number) => value;
  // A little beyond what was seen, so that the dashes show; the odds table behind the curve goes much farther.
  const air = 0.15 * (at(high) - at(low)) || 0.1;
  const [from, to] = scale === undefined ? [back(at(low) - air), back(at(high) + air)] : [scale.from, scale.to];
  const shown = rating.gaugeValues.flatMap((value, i) => (drawable(value) && value >= from && value <= to ? [i] : []));
  if (shown.length < 2) return undefined;
  const ends = (band: StaffRating['curve80']) => ({
    low: shown.map((i) => band[i]![0] ?? NaN),
    high: shown.map((i) => band[i]![1] ?? NaN),
  });
  const one = ends(rating.reading80);
  const heights = spanOf([...points.map((p) => p.staff), ...one.low, ...one.high]);
  const pad = 0.05 * (heights[1] - heights[0] || 1);
  const gaugeUnit = unitLabel(rating.unit);
  // People write their own units.
  const staffUnit = plotlyText(unit, { maxChars: 10 });
  return {
    kind: 'figure',
    title: `Rating of ${name} against ${rating.gaugeName}`,
    alt: altOf(rating, { name, unit, points, seen: [low, high] }),
    ...curveAndResiduals(
      {
        x: shown.map((i) => drawn(rating.gaugeValues[i]!)),
        median: shown.map((i) => rating.median[i]!),
        curveBand: ends(rating.curve80),
        oneBand: { ...one, name: 'one reading' },
        seen: [low, high],
        points: {
          x: points.map((p) => p.gaugeValue),
          y: points.map((p) => p.staff),
          off: points.map((p) => p.staff - p.expected),
          text: points.map(
            (p) =>
              `${plotlyText(p.visit)}: ${valueText(p.staff)} ${staffUnit} at ${valueText(p.gaugeValue)} ${gaugeUnit}, off by ${valueText(p.staff - p.expected, { digits: 2 })} ${staffUnit}`,
          ),
        },
      },
      {
        offTitle: `off, ${staffUnit}`,
        axes: (narrow) => {
          const px = (narrow ? NARROW_PX : WIDE_PX) - SIDES_PX;
          const ticks = axisTicks({ from, to }, { kind: log ? 'log' : 'linear', px });
          return {
            xaxis: {
              type: log ? 'log' : 'linear',
              range: [from, to].map((end) => axisPlace(end, log ? 'log' : 'linear')),
              tickvals: ticks.values,
              ticktext: ticks.texts,
              title: axisTitle(gaugeTitle(rating.gaugeName, { way: rating.way, unit: rating.unit, narrow })),
            },
            yaxis: {
              range: [drawn(heights[0] - pad), drawn(heights[1] + pad)],
              nticks: Math.floor(panelPx(narrow) / 40),
              title: axisTitle(`${plotlyText(name, { maxChars: narrow ? 16 : 20 })}, ${staffUnit}`, 6),
            },
          };
        },
      },
    ),
  };
}

function altOf(
  rating: StaffRating,
  {
    name,
    unit,
    points,
    seen: [low, high],
  }: { name: string; unit: string; points: StaffRating['points']; seen: readonly [number, number] },
): string {
  const medianNear = (value: number): string => {
    const i = rating.gaugeValues.reduce(
      (best, v, k) => (Math.abs(v - value) < Math.abs(rating.gaugeValues[best]! - value) ? k : best),
      0,
    );
    return valueText(rating.median[i]!);
  };
  const readings =
    points.length === 0
      ? 'No reading is drawn.'
      : `${points.length === 1 ? 'One reading lies' : `${points.length} readings lie`} at most ${valueText(Math.max(...points.map((p) => Math.abs(p.staff - p.expected))), { digits: 2 })} ${unit} off.`;
  return `${name} against the effective reading of ${rating.gaugeName}, ${valueText(low)} to ${valueText(high)} ${unitLabel(rating.unit)}: the median goes from ${medianNear(low)} to ${medianNear(high)} ${unit}, with the 80 % interval of the curve and that of one reading. ${readings}`;
}

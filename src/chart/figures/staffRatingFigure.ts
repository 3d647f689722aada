import { figures } from '../../series/format.js';
import { parameterOfUnit, unitLabel } from '../../series/units.js';
import type { StaffRating } from '../gauges/types.js';
import { BANDS, INK_SOFT, VEIL } from '../palette.js';
import { bandBetween, curveLine, spanOf } from './bandLines.js';
import { axisStyle, axisTitle, drawn, figureOf, plotPx, type Figure } from './figure.js';
import { gaugeTitle, valueAxis, type GaugeScale } from './gaugeScale.js';
import { markTrace, ruleAcross } from './marks.js';
import { plotlyText } from './plotlyText.js';

const MARGIN = { l: 78, r: 14, t: 14, b: 50 };
const RING = { symbol: 'circle', size: 8, color: VEIL, line: { color: INK_SOFT, width: 1.5 } };

/**
 * A staff on the creek against a gauge's effective reading: the median curve, the 80 % interval of the curve (dark) and of one reading
 * (light), and below it what each reading of the visits lies off, in the staff's unit. Beyond the readings the curve is dashed. A flow
 * stands on a logarithmic axis.
 *
 * @param rating from gauges.json. @param options.name, options.unit the staff's.
 * @param options.scale the gauge's own, so that its axis is that of its other figures; default as
 *   far as the readings go.
 * @returns undefined with fewer than two places of the curve, or none that the axis can show.
 * @example staffRatingFigure(staff.gauges[0], { name: staff.name, unit: staff.unit })
 */
export function staffRatingFigure(
  rating: StaffRating,
  { name, unit, scale }: { name: string; unit: string; scale?: GaugeScale | undefined },
): Figure | undefined {
  const kind = parameterOfUnit(rating.unit) === 'discharge' ? 'log' : 'linear';
  const drawable = (value: number): boolean => Number.isFinite(value) && (kind === 'linear' || value > 0);
  const points = rating.points.filter(({ gaugeValue }) => drawable(gaugeValue));
  const seen = spanOf((points.length > 0 ? points.map((p) => p.gaugeValue) : rating.gaugeValues).filter(drawable));
  const { from, to } = scale ?? around(seen, kind);
  const shown = rating.gaugeValues.flatMap((value, i) => (drawable(value) && value >= from && value <= to ? [i] : []));
  if (shown.length < 2) return undefined;
  const ends = (band: StaffRating['curve80']) => ({
    low: shown.map((i) => band[i]![0]),
    high: shown.map((i) => band[i]![1]),
  });
  const x = shown.map((i) => drawn(rating.gaugeValues[i]!));
  const median = shown.map((i) => rating.median[i]!);
  const one = ends(rating.reading80);
  const heights = spanOf([...points.map((p) => p.staff), ...one.low, ...one.high]);
  const pad = 0.05 * (heights[1] - heights[0] || 1);
  // People write their own units.
  const staffUnit = plotlyText(unit, { maxChars: 10 });
  const off = points.map((p) => p.staff - p.expected);
  const largest = Math.max(1e-9, ...off.map(Math.abs));
  const places = points.map((p) => drawn(p.gaugeValue));
  const text = points.map(
    (p, i) =>
      `${plotlyText(p.visit)}: ${figures(p.staff)} ${staffUnit} at ${figures(p.gaugeValue)} ` +
      `${unitLabel(rating.unit)}, off by ${figures(off[i]!, 2)} ${staffUnit}`,
  );
  const data = [
    bandBetween(x, { ...one, fill: BANDS.light, name: 'one reading' }),
    bandBetween(x, { ...ends(rating.curve80), fill: BANDS.dark, name: 'the curve' }),
    ...curvePieces(x, median, seen),
    markTrace(
      places,
      points.map((p) => drawn(p.staff)),
      { marker: RING, text },
    ),
    markTrace(places, off.map(drawn), { marker: RING, text, yaxis: 'y2' }),
  ];
  const alt = altOf(rating, { name, unit, off, seen });
  return figureOf({ title: `Rating of ${name} against ${rating.gaugeName}`, alt }, data, (narrow) => ({
    height: narrow ? 400 : 440,
    margin: MARGIN,
    xaxis: axisStyle({
      ...valueAxis({ from, to }, { kind, px: plotPx(narrow, MARGIN) }),
      anchor: 'y2',
      title: axisTitle(gaugeTitle(rating.gaugeName, { way: rating.way, unit: rating.unit, narrow })),
    }),
    yaxis: axisStyle({
      range: [drawn(heights[0] - pad), drawn(heights[1] + pad)],
      domain: [0.34, 1],
      nticks: narrow ? 5 : 6,
      title: axisTitle(`${plotlyText(name, { maxChars: narrow ? 16 : 20 })}, ${staffUnit}`, 6),
    }),
    yaxis2: axisStyle({
      range: [-1.15 * largest, 1.15 * largest],
      domain: [0, 0.26],
      nticks: 4,
      title: axisTitle(`off, ${staffUnit}`, 6),
    }),
    shapes: [ruleAcross(0, { width: 1 }, 'y2')],
  }));
}

/** The curve through what was seen, dashed beyond it; pieces share the place where they meet, so that the line has no hole. */
function curvePieces(x: readonly number[], y: readonly number[], [from, to]: readonly [number, number]) {
  const first = Math.max(
    0,
    x.findIndex((at) => at >= from),
  );
  const last = Math.max(
    first,
    x.findLastIndex((at) => at <= to),
  );
  const piece = (start: number, end: number, dashed: boolean) =>
    end > start ? [curveLine(x.slice(start, end + 1), y.slice(start, end + 1), { dashed })] : [];
  return [...piece(0, first, true), ...piece(first, last, false), ...piece(last, x.length - 1, true)];
}

/** A little beyond what was seen, so that the dashes show; the odds table behind the curve goes much farther. */
function around([low, high]: readonly [number, number], kind: GaugeScale['kind']): { from: number; to: number } {
  const air = 0.15 * (kind === 'log' ? Math.log(high / low) : high - low) || 0.1;
  return kind === 'log'
    ? { from: low * Math.exp(-air), to: high * Math.exp(air) }
    : { from: low - air, to: high + air };
}

function altOf(
  rating: StaffRating,
  {
    name,
    unit,
    off,
    seen: [low, high],
  }: { name: string; unit: string; off: readonly number[]; seen: readonly [number, number] },
): string {
  const medianNear = (value: number): string => {
    const away = rating.gaugeValues.map((v) => Math.abs(v - value));
    return figures(rating.median[away.indexOf(Math.min(...away))]!);
  };
  const lie = off.length === 1 ? 'One reading lies' : `${off.length} readings lie`;
  const most = figures(Math.max(...off.map(Math.abs)), 2);
  const readings = off.length === 0 ? 'No reading is drawn.' : `${lie} at most ${most} ${unit} off.`;
  return (
    `${name} against the effective reading of ${rating.gaugeName}, ${figures(low)} to ${figures(high)} ` +
    `${unitLabel(rating.unit)}: the median goes from ${medianNear(low)} to ${medianNear(high)} ${unit}, with ` +
    `the 80 % interval of the curve and that of one reading. ${readings}`
  );
}

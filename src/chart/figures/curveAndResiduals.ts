import { BANDS, INK_SOFT } from '../palette.js';
import { bandBetween, curveLine, ringPoints } from './bandLines.js';
import { axisStyle, axisTitle, baseLayout, drawn, type PlotlyObject } from './figure.js';

/** Height of the upper panel in px, for planning its marks. */
export const panelPx = (narrow: boolean): number => (narrow ? 210 : 250);

interface Ends {
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** A curve with two intervals and the observations it was made from. */
export interface CurveWithPoints {
  /** Ascending places along the curve (V), its height and the ends of both intervals there. */
  readonly x: readonly number[];
  readonly median: readonly number[];
  readonly curveBand: Ends;
  readonly oneBand: Ends & { readonly name: string };
  /** Between these the curve is drawn through, beyond them dashed: nobody observed anything there. */
  readonly seen: readonly [number, number];
  /** Observations (N): place, height, distance from the curve, and what is shown when pointed at (escaped). */
  readonly points: {
    readonly x: readonly number[];
    readonly y: readonly number[];
    readonly off: readonly number[];
    readonly text: readonly string[];
  };
}

/**
 * A curve with the interval of the curve (dark) and of one more observation (light) above, and below what each observation lies off: what pictures of ratings share.
 *
 * @param options.axes the axes along and up, for a width; @param options.offTitle title of the lower panel, escaped.
 */
export function curveAndResiduals(
  { x, median, curveBand, oneBand, seen: [from, to], points }: CurveWithPoints,
  {
    axes,
    offTitle,
  }: {
    axes: (narrow: boolean) => { readonly xaxis: PlotlyObject; readonly yaxis: PlotlyObject };
    offTitle: string;
  },
): { readonly data: readonly PlotlyObject[]; readonly layout: PlotlyObject; readonly narrow: PlotlyObject } {
  const largest = Math.max(1e-9, ...points.off.map(Math.abs));
  const layout = (narrow: boolean): PlotlyObject => {
    const { xaxis, yaxis } = axes(narrow);
    return baseLayout({
      height: narrow ? 400 : 440,
      margin: { l: 78, r: 14, t: 14, b: 50 },
      xaxis: axisStyle({ ...xaxis, anchor: 'y2' }),
      yaxis: axisStyle({ ...yaxis, domain: [0.34, 1] }),
      yaxis2: axisStyle({
        range: [-1.15 * largest, 1.15 * largest],
        domain: [0, 0.26],
        nticks: 4,
        title: axisTitle(offTitle, 6),
      }),
      shapes: [
        { type: 'line', xref: 'paper', yref: 'y2', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: INK_SOFT, width: 1 } },
      ],
    });
  };
  // Pieces share the place where they meet, so that the line has no hole.
  const first = Math.max(
    0,
    x.findIndex((at) => at >= from),
  );
  const last = Math.max(
    first,
    x.findLastIndex((at) => at <= to),
  );
  const piece = (start: number, end: number, dashed: boolean): readonly PlotlyObject[] =>
    end > start ? [curveLine(x.slice(start, end + 1), median.slice(start, end + 1), { dashed })] : [];
  return {
    data: [
      bandBetween(x, { ...oneBand, fill: BANDS.light }),
      bandBetween(x, { ...curveBand, fill: BANDS.dark, name: 'the curve' }),
      ...piece(0, first, true),
      ...piece(first, last, false),
      ...piece(last, x.length - 1, true),
      ringPoints(points.x, points.y, { text: points.text }),
      ringPoints(points.x, points.off, { text: points.text, yaxis: 'y2' }),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

/** Ends of an axis around values that may be missing. */
export function spanOf(values: readonly number[]): readonly [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [drawn(low), drawn(high)];
}

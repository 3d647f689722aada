import { axisStyle, axisTitle, baseLayout, charPx, drawn, type Figure, type PlotlyObject } from './figure.js';
import { plotlyText } from './plotlyText.js';
import { ACCENT, INK, INK_SOFT } from '../palette.js';
import type { Interval } from '../../judge/types.js';

/** One quantity with its intervals; leave out the wide one where there is none. */
export interface IntervalRow {
  readonly label: string;
  readonly median: number;
  readonly i80: Interval;
  readonly i95?: Interval;
}

export interface IntervalFigureOptions {
  readonly title: string;
  /** Axis title, with the unit. */
  readonly axis: string;
  /** A value to compare with, drawn as a dashed line, and what it means. */
  readonly zero?: { readonly at: number; readonly label: string };
  /** Multiplies the values for show (100 for percent). Default 1. */
  readonly times?: number;
  readonly digits?: number;
}

/**
 * Quantities one below the other: a dot at the median, thick line 80 %, thin line 95 %. For biases of observers, skills, lags.
 * @returns undefined without rows.
 * @example show(intervalFigure(level.observers.map((o) => ({ ...o, label: o.observer })), { title: 'Observers', axis: 'bias' }))
 */
export function intervalFigure(
  rows: readonly IntervalRow[],
  { title, axis, zero, times = 1, digits = 0 }: IntervalFigureOptions,
): Figure | undefined {
  if (rows.length === 0) return undefined;
  const values = rows.flatMap(({ median, i80, i95 }) => [median, ...i80, ...(i95 ?? [])]).filter((v) => v !== null);
  const ends = [...values.map((v) => times * v), ...(zero === undefined ? [] : [zero.at])];
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const air = 0.06 * (high - low || 1);
  const range = [low - air, high + air] as const;
  const words = rows.map(({ label }) => plotlyText(label, { maxChars: 30 }));
  const line = (interval: Interval, y: number, width: number): PlotlyObject => ({
    type: 'scatter',
    mode: 'lines',
    x: [drawn(times * (interval[0] ?? range[0])), drawn(times * (interval[1] ?? range[1]))],
    y: [y, y],
    line: { color: INK, width },
    hoverinfo: 'skip',
  });
  const top = rows.length - 1;
  const layout = baseLayout({
    height: 26 * rows.length + 92,
    margin: { l: Math.ceil(charPx(12) * Math.max(...words.map((word) => word.length))) + 18, r: 16, t: 34, b: 50 },
    xaxis: axisStyle({ range, title: axisTitle(axis), nticks: 9 }),
    yaxis: axisStyle({
      range: [-0.6, top + 0.6],
      tickvals: rows.map((_, i) => top - i),
      ticktext: words,
      ticks: '',
      showgrid: false,
    }),
    shapes:
      zero === undefined
        ? []
        : [
            {
              type: 'line',
              xref: 'x',
              yref: 'paper',
              x0: zero.at,
              x1: zero.at,
              y0: 0,
              y1: 1,
              line: { color: INK_SOFT, width: 1.5, dash: 'dash' },
            },
          ],
    annotations:
      zero === undefined
        ? []
        : [
            {
              x: zero.at,
              y: 1.01,
              xref: 'x',
              yref: 'paper',
              xanchor: zero.at > (low + high) / 2 ? 'right' : 'left',
              yanchor: 'bottom',
              text: plotlyText(zero.label),
              showarrow: false,
              font: { size: 12, color: INK },
            },
          ],
  });
  return {
    kind: 'figure',
    title,
    alt: intervalAlt(rows, { axis, times, digits }),
    data: rows.flatMap(({ median, i80, i95 }, i) => [
      ...(i95 === undefined ? [] : [line(i95, top - i, 1.5)]),
      line(i80, top - i, 5),
      {
        type: 'scatter',
        mode: 'markers',
        x: [drawn(times * median)],
        y: [top - i],
        marker: { symbol: 'circle', size: 10, color: ACCENT, line: { color: INK, width: 1.5 } },
        hovertemplate: '%{x}<extra></extra>',
      },
    ]),
    layout,
    narrow: layout,
  };
}

function intervalAlt(
  rows: readonly IntervalRow[],
  { axis, times, digits }: { axis: string; times: number; digits: number },
): string {
  // A rounded −0 would be read as a sign.
  const end = (value: number | null) =>
    value === null
      ? 'open'
      : (times * value)
          .toFixed(digits)
          .replace(/^-(0(?:\.0+)?)$/, '$1')
          .replace('-', '−');
  const parts = rows.map(
    ({ label, median, i80 }) => `${label} ${end(median)} (80 %: ${end(i80[0])} to ${end(i80[1])})`,
  );
  return `${axis}: ${parts.join('; ')}.`;
}

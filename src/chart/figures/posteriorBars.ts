import { ACCENT, BAR, INK, INK_SOFT, PAPER } from '../palette.js';
import type { Interval } from '../types.js';
import { axisStyle, axisTitle, baseLayout, drawn, type PlotlyObject } from './figure.js';
import { inPercent, percentAxis } from './percentAxis.js';

const MARGIN = { l: 56, r: 12, t: 34, b: 48 };
const HEIGHT = 250;

/** A posterior over hours, as bars with its median and intervals above them: what the lag and the storage picture share. */
export function posteriorBars(
  posterior: {
    readonly hours: readonly number[];
    readonly probability: readonly number[];
    readonly median: number;
    readonly i80: Interval;
    readonly i95: Interval;
  },
  { xTitle, negative, positive }: { xTitle: string; negative: string; positive: string },
): { readonly data: readonly PlotlyObject[]; readonly layout: PlotlyObject; readonly narrow: PlotlyObject } {
  const { hours, probability, median } = posterior;
  const highest = Math.max(1e-9, ...probability);
  const [from, to] = shownHours(posterior);
  const whisker = (interval: Interval, width: number) => ({
    type: 'scatter',
    mode: 'lines',
    x: [drawn(Math.max(from, interval[0] ?? from)), drawn(Math.min(to, interval[1] ?? to))],
    y: [inPercent(1.14 * highest), inPercent(1.14 * highest)],
    line: { color: INK, width },
    hoverinfo: 'skip',
  });
  const layout = (narrow: boolean) =>
    baseLayout({
      height: HEIGHT,
      margin: MARGIN,
      bargap: 0,
      xaxis: axisStyle({ range: [from, to], title: axisTitle(xTitle), nticks: narrow ? 6 : 12, tickformat: 'd' }),
      yaxis: percentAxis(
        { from: 0, to: 1.26 * highest },
        { px: HEIGHT - MARGIN.t - MARGIN.b, title: 'probability, %', standoff: 6, apart: 32 },
      ),
      shapes: [
        {
          type: 'line',
          xref: 'x',
          yref: 'paper',
          x0: 0,
          x1: 0,
          y0: 0,
          y1: 1,
          line: { color: INK_SOFT, width: 1.5, dash: 'dash' },
        },
      ],
      annotations: sideLabels([from, to], { negative, positive, fontPx: narrow ? 12 : 13 }),
    });
  return {
    data: [
      {
        type: 'bar',
        x: hours,
        y: probability.map(inPercent),
        width: barWidth(hours),
        marker: { color: BAR, line: { color: PAPER, width: 1 } },
        hovertemplate: '%{x} h: %{y:.1f} %<extra></extra>',
      },
      whisker(posterior.i95, 1.5),
      whisker(posterior.i80, 5),
      {
        type: 'scatter',
        mode: 'markers',
        x: [drawn(median)],
        y: [inPercent(1.14 * highest)],
        marker: { symbol: 'circle', size: 11, color: ACCENT, line: { color: INK, width: 1.5 } },
        hovertemplate: 'median %{x} h<extra></extra>',
      },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

/** The stretch of hours that carries the posterior, with the intervals and zero, and a little air. */
function shownHours({
  hours,
  probability,
  i95,
  median,
}: {
  readonly hours: readonly number[];
  readonly probability: readonly number[];
  readonly i95: Interval;
  readonly median: number;
}): readonly [number, number] {
  const highest = Math.max(0, ...probability);
  const carried = hours.filter((_, i) => probability[i]! > 0.002 * highest);
  const ends = [0, median, ...carried, ...i95.filter((end): end is number => end !== null)].filter(Number.isFinite);
  const low = Math.min(...ends);
  const high = Math.max(...ends);
  const air = Math.max(1, 0.04 * (high - low)) + barWidth(hours) / 2;
  return [low - air, high + air];
}

/** Every bar as wide as the closest pair of grid points allows: on an uneven grid a wide bar would look like more probability. */
function barWidth(hours: readonly number[]): number {
  const gaps = hours.slice(1).map((hour, i) => hour - hours[i]!);
  return gaps.length > 0 ? drawn(Math.min(...gaps)) : 1;
}

/** What each side of zero means, in words above the plot; a side with no room stays silent. */
function sideLabels(
  [from, to]: readonly [number, number],
  { negative, positive, fontPx }: { negative: string; positive: string; fontPx: number },
): readonly PlotlyObject[] {
  const label = (text: string, x: number, xanchor: string) => ({
    x,
    y: 1.02,
    xref: 'paper',
    yref: 'paper',
    xanchor,
    yanchor: 'bottom',
    text,
    showarrow: false,
    font: { size: fontPx, color: INK },
  });
  return [
    ...(from < -2 ? [label(`← ${negative}`, 0, 'left')] : []),
    ...(to > 2 ? [label(`${positive} →`, 1, 'right')] : []),
  ];
}

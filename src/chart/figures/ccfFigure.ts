import type { LoggerCcf } from '../../fit/logger/loggerCcf.js';
import { BAR, INK, INK_SOFT, VEIL } from '../palette.js';
import { axisStyle, axisTitle, baseLayout, drawn, type Figure, type PlotlyObject } from './figure.js';
import { valueText } from './valueText.js';

/**
 * Correlations of the changes of gauge and logger by lag, as bars, with the band that two unrelated rivers stay in.
 *
 * @param ccf from `loggerCcf`, or a logger's as gauges.json holds it. @returns undefined where there are none.
 */
export function ccfFigure(ccf: {
  readonly status?: LoggerCcf['status'];
  readonly lagsHours: ArrayLike<number>;
  readonly correlation: ArrayLike<number | null>;
  readonly band: number;
  readonly peakLagHours: number;
}): Figure | undefined {
  if ((ccf.status !== undefined && ccf.status !== 'ok') || ccf.lagsHours.length === 0) return undefined;
  const lags = Array.from(ccf.lagsHours);
  const r = Array.from(ccf.correlation, (v) => (v !== null && Number.isFinite(v) ? v : 0));
  const top = Math.min(1, Math.max(...r.map(Math.abs), ccf.band) * 1.15);
  const peakRight = ccf.peakLagHours > (lags[0]! + lags[lags.length - 1]!) / 2;
  const across = (y: number) => ({
    type: 'line',
    xref: 'paper',
    yref: 'y',
    x0: 0,
    x1: 1,
    y0: drawn(y),
    y1: drawn(y),
    line: { color: INK_SOFT, width: 1, dash: y === 0 ? 'solid' : 'dash' },
  });
  const layout = (narrow: boolean): PlotlyObject =>
    baseLayout({
      height: 250,
      margin: { l: 56, r: 12, t: 12, b: 48 },
      bargap: 0.2,
      xaxis: axisStyle({
        range: [lags[0]! - 0.5, lags[lags.length - 1]! + 0.5],
        title: axisTitle('lag, h (above 0: the gauge leads)'),
        nticks: narrow ? 6 : 12,
      }),
      yaxis: axisStyle({
        range: [drawn(Math.min(0, ...r, -ccf.band) * 1.15), drawn(top)],
        title: axisTitle('correlation, −1 to 1', 6),
        nticks: 5,
      }),
      annotations: [
        {
          // On the side away from the peak, where the bars are low.
          x: peakRight ? 0 : 1,
          y: drawn(ccf.band),
          xref: 'paper',
          yref: 'y',
          xanchor: peakRight ? 'left' : 'right',
          yanchor: 'bottom',
          text: narrow ? 'by chance' : 'unrelated rivers stay between the dashes',
          showarrow: false,
          font: { size: 12, color: INK },
          bgcolor: VEIL,
        },
      ],
      shapes: [across(ccf.band), across(-ccf.band), across(0)],
    });
  const peak = Math.max(...r);
  return {
    kind: 'figure',
    title: 'Changes of gauge and logger',
    alt: `Correlation of the changes of gauge and logger at lags from ${valueText(lags[0]!)} to ${valueText(lags[lags.length - 1]!)} h. It is highest, ${peak.toFixed(2)}, at ${valueText(ccf.peakLagHours, { digits: 2 })} h; unrelated rivers stay within ${ccf.band.toFixed(2)}.`,
    data: [
      {
        type: 'bar',
        x: lags,
        y: r.map(drawn),
        marker: { color: BAR },
        hovertemplate: '%{x} h: %{y:.2f}<extra></extra>',
      },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

import type { LoggerCcf } from '../../fit/logger/loggerCcf.js';
import { figures, fixed } from '../../series/format.js';
import { BAR } from '../palette.js';
import { axisStyle, axisTitle, drawn, figureOf, type Figure } from './figure.js';
import { note, ON_LINE, ruleAcross } from './marks.js';

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
  const [first, last] = [lags[0]!, lags[lags.length - 1]!];
  const r = Array.from(ccf.correlation, (v) => (v !== null && Number.isFinite(v) ? v : 0));
  const top = Math.min(1, Math.max(...r.map(Math.abs), ccf.band) * 1.15);
  // On the side away from the peak, where the bars are low.
  const beside = ccf.peakLagHours > (first + last) / 2 ? { x: 0, xanchor: 'left' } : { x: 1, xanchor: 'right' };
  const alt =
    `Correlation of the changes of gauge and logger at lags from ${figures(first)} to ${figures(last)} h. It ` +
    `is highest, ${fixed(Math.max(...r), 2)}, at ${figures(ccf.peakLagHours, 2)} h; unrelated rivers stay ` +
    `within ${fixed(ccf.band, 2)}.`;
  const bars = {
    type: 'bar',
    x: lags,
    y: r.map(drawn),
    marker: { color: BAR },
    hovertemplate: '%{x} h: %{y:.2f}<extra></extra>',
  };
  return figureOf({ title: 'Changes of gauge and logger', alt }, [bars], (narrow) => ({
    height: 250,
    margin: { l: 56, r: 12, t: 12, b: 48 },
    bargap: 0.2,
    xaxis: axisStyle({
      range: [first - 0.5, last + 0.5],
      title: axisTitle('lag, h (above 0: the gauge leads)'),
      nticks: narrow ? 6 : 12,
    }),
    yaxis: axisStyle({
      range: [drawn(Math.min(0, ...r, -ccf.band) * 1.15), drawn(top)],
      title: axisTitle('correlation, −1 to 1', 6),
      nticks: 5,
    }),
    annotations: [
      note(narrow ? 'by chance' : 'unrelated rivers stay between the dashes', {
        ...{ y: drawn(ccf.band), xref: 'paper', yanchor: 'bottom', ...ON_LINE },
        ...beside,
      }),
    ],
    shapes: [ruleAcross(drawn(ccf.band)), ruleAcross(drawn(-ccf.band)), ruleAcross(0, { width: 1 })],
  }));
}

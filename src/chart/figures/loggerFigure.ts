import type { LoggerPrediction } from '../../fit/logger/loggerLevel.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { unitLabel } from '../../series/units.js';
import { bandBetween, curveLine } from './bandLines.js';
import { axisStyle, axisTitle, baseLayout, type Figure, type PlotlyObject } from './figure.js';
import { plotlyText } from './plotlyText.js';

/** More points than this are thinned. */
const MOST_POINTS = 1500;

/**
 * A logger's levels (accent) and what the routed gauge says they should have been (ink), with the interval of one level.
 *
 * @param fit from `fitLogger`. @param options.logger its record. @param options.levels from `loggerLevel`, at ascending times.
 * @returns undefined without levels.
 */
export function loggerFigure(
  fit: LoggerFit,
  { logger, levels }: { logger: GaugeRecord; levels: readonly LoggerPrediction[] },
): Figure | undefined {
  if (levels.length === 0) return undefined;
  const every = Math.ceil(levels.length / MOST_POINTS);
  const shown = levels.filter((_, i) => i % every === 0);
  const step = Math.ceil(logger.values.length / MOST_POINTS);
  const times = Array.from(logger.timesMs).filter((_, i) => i % step === 0);
  const values = Array.from(logger.values).filter((_, i) => i % step === 0);
  // Dates in plotly's axis are strings or ms of UTC: ms keep this room free of zones.
  const x = shown.map((p) => p.timeMs);
  const layout = (narrow: boolean): PlotlyObject =>
    baseLayout({
      height: narrow ? 260 : 300,
      margin: { l: 62, r: 14, t: 12, b: 46 },
      xaxis: axisStyle({
        type: 'date',
        range: [x[0], x[x.length - 1]],
        nticks: narrow ? 4 : 8,
        title: axisTitle('UTC'),
      }),
      yaxis: axisStyle({ title: axisTitle(`level, ${unitLabel(logger.unit)}`, 6), nticks: 6 }),
    });
  return {
    kind: 'figure',
    title: `${logger.name} and ${fit.gaugeName}`,
    alt: `Levels of ${logger.name} and the levels expected from ${fit.gaugeName}, with the interval of one level. ${fit.statusSentence}`,
    data: [
      bandBetween(x, {
        low: shown.map((p) => p.lower),
        high: shown.map((p) => p.upper),
        fill: 'rgba(82,96,107,0.2)',
        name: plotlyText(`expected from ${fit.gaugeName}`),
      }),
      curveLine(
        x,
        shown.map((p) => p.level),
      ),
      curveLine(times, values, { accent: true }),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

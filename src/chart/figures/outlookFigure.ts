import { counted, figures, minute } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import type { Outlook } from '../day/outlook.js';
import { RULE } from '../palette.js';
import type { GaugeChart } from '../types.js';
import { bandBetween, curveLine } from './bandLines.js';
import { axisStyle, axisTitle, drawn, figureOf, type Figure } from './figure.js';
import { axisPlace, valueAxis, type GaugeScale } from './gaugeScale.js';
import { note, ON_LINE, ruleAcross } from './marks.js';
import { plotlyText } from './plotlyText.js';

const MARGIN = { l: 64, r: 14, t: 14, b: 50 };
const HEIGHT = 320;

/**
 * The fan of an outlook: the chart's own reading over the next 72 hours, median and the middle 80 % of past moments like this one, across
 * the edges of the run's classes.
 * @returns undefined where nothing was looked ahead.
 */
export function outlookFigure(
  { steps, like, fromMs, forecast }: Outlook,
  { gauge, level }: GaugeChart,
  { kind, timeZone }: { kind: GaugeScale['kind']; timeZone: string },
): Figure | undefined {
  if (steps.length === 0 || level === undefined) return undefined;
  const hours = steps.map((step) => step.hours);
  const [low, high] = [0, 1].map((end) => steps.map(({ reading }) => drawn(reading.i80[end]!))) as [number[], number[]];
  const edges = level.edges.filter(({ feature }) => feature === VERDICT);
  const all = [...low, ...high, ...edges.map(({ median }) => median)];
  const air = kind === 'log' ? 1.15 : 0.1;
  const [least, most] = [Math.min(...all), Math.max(...all)];
  const ends = kind === 'log' ? { from: least / air, to: most * air } : { from: least - air, to: most + air };
  const median = steps.map(({ reading }) => drawn(reading.value));
  const data = [bandBetween(hours, { low, high, fill: RULE }), curveLine(hours, median)];
  const unit = unitLabel(gauge.unit);
  const at = (h: number) => steps.find((step) => step.hours === h);
  const told = [12, 24, 48, 72].flatMap((h) => {
    const reading = at(h)?.reading;
    return reading === undefined
      ? []
      : [`after ${h} h ${figures(reading.value)} ${unit} (${figures(reading.i80[0])} to ${figures(reading.i80[1])})`];
  });
  const moments = `${counted(like, 'past moment')} like it`;
  const by = forecast === null ? moments : `the official forecast up to ${forecast.toHours} h, then ${moments}`;
  const alt = `Outlook from ${minute(fromMs, timeZone)}, by ${by}: ${told.join('; ')}.`;
  return figureOf({ title: `Outlook by ${gauge.name}`, alt }, data, (narrow) => ({
    height: HEIGHT,
    margin: MARGIN,
    xaxis: axisStyle({
      range: [0, 73],
      tickvals: narrow ? [24, 48, 72] : [12, 24, 36, 48, 60, 72],
      title: axisTitle(narrow ? 'ahead, h' : 'ahead of the last reading, at the creek, h'),
    }),
    yaxis: axisStyle({
      ...valueAxis(ends, { kind, px: HEIGHT - MARGIN.t - MARGIN.b, across: false }),
      title: axisTitle(unit, 6),
    }),
    shapes: edges.map(({ median: y }) => ruleAcross(y)),
    annotations: edges.map(({ between, median: y }) =>
      note(plotlyText(`${between[0]} / ${between[1]}`, { maxChars: 24 }), {
        ...{ x: 72, y: axisPlace(y, kind), xanchor: 'right', yshift: 9, size: 11 },
        ...ON_LINE,
      }),
    ),
  }));
}

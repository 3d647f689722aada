import { unitLabel } from '../../series/units.js';
import { classPalette, INK_SOFT } from '../palette.js';
import type { GaugeChart } from '../types.js';
import { axisStyle, axisTitle, baseLayout, drawn, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { axisTicks } from './axisTicks.js';
import { axisPlace, type GaugeScale } from './gaugeScale.js';
import { localStamp, wallClock } from './localTime.js';
import { plotlyText } from './plotlyText.js';
import { LEGEND_CHARS, topLegend } from './topLegend.js';
import { valueText } from './valueText.js';
import { visitHover, type VisitWords } from './visitRows.js';

const HOUR_MS = 3_600_000;
const MARGIN = { l: 64, r: 12, t: 14, b: 52 };

/**
 * The gauge's record with the visits on it, each at the reading it is matched with: lag hours before the visit, so the mark
 * stands on the line. Times are the creek's wall clock. A gap of the record stays a gap.
 *
 * @param gauge the gauge's chart. `options.classes`: the run's verdict classes, lowest first; `options.features`: its features, for their names.
 * @returns undefined where the record has no drawable reading.
 */
export function hydrographFigure(
  gauge: GaugeChart,
  { scale, classes, timeZone, features = [] }: { scale: GaugeScale } & VisitWords,
): Figure | undefined {
  const { timesMs, values } = gauge.hydrograph;
  const shown = values.map((value) => (value === null || (scale.kind === 'log' && !(value > 0)) ? null : drawn(value)));
  let low = Infinity;
  let high = -Infinity;
  for (const value of shown) {
    if (value === null) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (!(low <= high)) return undefined;
  const air = scale.kind === 'log' ? 0 : Math.max(0.02, 0.06 * (high - low));
  const range = scale.kind === 'log' ? { from: low / 1.15, to: high * 1.15 } : { from: low - air, to: high + air };
  const lagHours = gauge.level?.reading.lagHours ?? 0;
  const clock = wallClock(timesMs, timeZone);
  const layout = (narrow: boolean) => {
    const legend = topLegend(classes, { px: plotPx(narrow, MARGIN) });
    const margin = { ...MARGIN, t: MARGIN.t + legend.height };
    const plotHeight = narrow ? 210 : 250;
    const height = plotHeight + margin.t + margin.b;
    const ticks = axisTicks(range, { kind: scale.kind, px: plotHeight, across: false });
    return baseLayout({
      height,
      // A mouse may drag across to see one flood; on a phone the same movement must scroll the page.
      dragmode: narrow ? false : 'zoom',
      margin,
      ...legend.layout,
      xaxis: axisStyle({
        type: 'date',
        title: axisTitle(`local time, ${plotlyText(timeZone, { maxChars: 30 })}`),
        nticks: narrow ? 4 : 9,
        showgrid: false,
        fixedrange: narrow,
      }),
      yaxis: axisStyle({
        type: scale.kind,
        range: [axisPlace(range.from, scale.kind), axisPlace(range.to, scale.kind)],
        tickvals: ticks.values,
        ticktext: ticks.texts,
        title: axisTitle(`${gauge.gauge.parameter}, ${unitLabel(scale.unit)}`, 6),
      }),
    });
  };
  return {
    kind: 'figure',
    title: `Record of ${gauge.gauge.name} with the visits`,
    alt: hydrographAlt(gauge, { low, high, timeZone }),
    data: [
      {
        type: 'scatter',
        mode: 'lines',
        name: 'record',
        showlegend: false,
        x: clock,
        y: shown,
        connectgaps: false,
        line: { color: INK_SOFT, width: 1.2 },
        hoverinfo: 'skip',
      },
      ...markTraces(gauge, { scale, classes, timeZone, features, lagHours }),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

function markTraces(
  gauge: GaugeChart,
  { scale, lagHours, ...words }: { scale: GaugeScale; lagHours: number } & VisitWords,
): readonly PlotlyObject[] {
  const { classes, timeZone } = words;
  const looks = classPalette(classes.length);
  return classes.flatMap((word, k) => {
    const visits = gauge.visits.filter(
      ({ classIndex, onRecord }) => classIndex === k && onRecord !== null && (scale.kind === 'linear' || onRecord > 0),
    );
    if (visits.length === 0) return [];
    return [
      {
        type: 'scatter',
        mode: 'markers',
        name: plotlyText(word, { maxChars: LEGEND_CHARS }),
        x: wallClock(
          visits.map((visit) => visit.timeMs - lagHours * HOUR_MS),
          timeZone,
        ),
        y: visits.map((visit) => drawn(visit.onRecord!)),
        marker: {
          symbol: looks[k]!.symbol.plotly,
          size: 10,
          color: looks[k]!.fill,
          line: { color: looks[k]!.ink, width: 1.2 },
        },
        text: visits.map((visit) => visitHover(visit, { value: visit.onRecord!, scale, ...words })),
        hovertemplate: '%{text}<extra></extra>',
      },
    ];
  });
}

function hydrographAlt(
  gauge: GaugeChart,
  { low, high, timeZone }: { low: number; high: number; timeZone: string },
): string {
  const { timesMs } = gauge.hydrograph;
  const unit = unitLabel(gauge.gauge.unit);
  const day = (timeMs: number) => localStamp(timeMs, timeZone).slice(0, 10);
  const marks = gauge.visits.filter(({ onRecord }) => onRecord !== null).length;
  return `Record of ${gauge.gauge.name} from ${day(timesMs[0]!)} to ${day(timesMs[timesMs.length - 1]!)}, between ${valueText(low)} and ${valueText(high)} ${unit}, with ${marks} visits on it.`;
}

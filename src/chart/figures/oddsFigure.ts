import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { INK, INK_SOFT, PAPER } from '../palette.js';
import type { GaugeChart, LevelChart } from '../types.js';
import { bandLabels, bandTraces, seenRows, unseenSides, unseenTraces } from './bandTraces.js';
import { edgeLabels, edgeTraces } from './edgeRows.js';
import { axisStyle, axisTitle, baseLayout, charPx, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, gaugeAxes, gaugeTitle, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { groupDigits, valueText } from './valueText.js';
import { NO_VERDICT_ROW, sureTraces, visitTraces, type VisitWords } from './visitRows.js';

export interface OddsFigureOptions {
  readonly scale: GaugeScale;
  readonly timeZone: string;
  /** The run's features, so that a visit pointed at names what was seen; default none: their ids. */
  readonly features?: VisitWords['features'];
}

const EDGE_ROW_PX = 34;
const VISIT_ROW_PX = 26;
const GAP_PX = 14;

/**
 * The chart's main picture, three strips over one gauge axis: the odds of each class as stacked bands, the verdict's edges
 * with 80 % and 95 % intervals, and the visits in the row of their class over the class's sure range. What nobody has seen
 * is hatched.
 *
 * @returns undefined where the gauge has no level chart.
 */
export function oddsFigure(
  gauge: GaugeChart,
  { scale, timeZone, features = [] }: OddsFigureOptions,
): Figure | undefined {
  const { level } = gauge;
  if (level === undefined) return undefined;
  const { classes } = level.odds;
  const edges = level.edges.filter((edge) => edge.feature === VERDICT);
  const noVerdict = gauge.visits.some((visit) => visit.classIndex < 0 && visit.reading !== null);
  const lowestRow = noVerdict ? NO_VERDICT_ROW : 0;
  const strips = { edges, classes, lowestRow, level, scale, gauge };
  const edgeRange = { yaxis: 'y2', low: -0.5, high: edges.length - 0.3 };
  const visitRange = { yaxis: 'y3', low: lowestRow - 0.5, high: classes.length - 0.5 };
  return {
    kind: 'figure',
    title: `Odds by the ${level.way === 'effective' ? 'effective reading' : 'single reading'} of ${gauge.gauge.name}`,
    alt: oddsAlt(gauge, level),
    data: [
      ...unseenTraces(level, scale, { yaxis: 'y', low: 0, high: 1 }),
      ...(edges.length > 0 ? unseenTraces(level, scale, edgeRange) : []),
      ...unseenTraces(level, scale, visitRange),
      ...bandTraces(level),
      ...edgeTraces(edges, scale, { yaxis: 'y2' }),
      ...sureTraces(level, scale, { yaxis: 'y3' }),
      ...visitTraces(gauge, scale, { yaxis: 'y3', classes, timeZone, features }),
      // An axis without a trace is not drawn: this one carries the other unit system.
      { type: 'scatter', mode: 'markers', x: [1], y: [-9], xaxis: 'x2', hoverinfo: 'skip', marker: { opacity: 0 } },
    ],
    layout: oddsLayout(strips, false),
    narrow: oddsLayout(strips, true),
  };
}

interface Strips {
  readonly edges: LevelChart['edges'];
  readonly classes: readonly string[];
  readonly lowestRow: number;
  readonly level: LevelChart;
  readonly scale: GaugeScale;
  readonly gauge: GaugeChart;
}

function oddsLayout({ edges, classes, lowestRow, level, scale, gauge }: Strips, narrow: boolean): PlotlyObject {
  const words = [
    ...(lowestRow < 0 ? ['no verdict'] : []),
    ...classes.map((word) => plotlyText(word, { maxChars: narrow ? 11 : 18 })),
  ];
  const longest = Math.max(...words.map((word) => Math.min(narrow ? 11 : 18, word.length)));
  const margin = { l: Math.max(56, Math.ceil(charPx(12) * longest) + 14), r: 12, t: 44, b: 48 };
  const px = plotPx(narrow, margin);
  const heights = {
    bands: narrow ? 210 : 270,
    edges: edges.length > 0 ? EDGE_ROW_PX * edges.length + 8 : 0,
    visits: VISIT_ROW_PX * words.length,
  };
  const inner = heights.bands + heights.edges + heights.visits + 2 * GAP_PX;
  const domain = (top: number, height: number) => [Math.max(0, 1 - (top + height) / inner), 1 - top / inner];
  const title = gaugeTitle(gauge.gauge.name, { way: level.way, unit: scale.unit, narrow });
  const fontPx = narrow ? 12 : 13;
  return baseLayout({
    height: inner + margin.t + margin.b,
    margin,
    ...gaugeAxes(scale, { px, title, bottom: 'y3', top: 'y' }),
    yaxis: axisStyle({
      domain: domain(0, heights.bands),
      range: [0, 1],
      tickvals: [0, 0.2, 0.4, 0.6, 0.8, 1],
      ticktext: ['0', '20', '40', '60', '80', '100'],
      title: axisTitle('odds, %', 6),
    }),
    yaxis2: axisStyle({
      domain: domain(heights.bands + GAP_PX, heights.edges),
      range: [-0.5, edges.length - 0.3],
      showticklabels: false,
      ticks: '',
      showgrid: false,
      visible: edges.length > 0,
      title: axisTitle('edges', 6),
    }),
    yaxis3: axisStyle({
      domain: domain(heights.bands + heights.edges + 2 * GAP_PX, heights.visits),
      range: [lowestRow - 0.5, classes.length - 0.5],
      tickvals: words.map((_, i) => lowestRow + i),
      ticktext: words,
      ticks: '',
    }),
    shapes: edges
      .filter((edge) => axisShare(edge.median, scale) >= 0 && axisShare(edge.median, scale) <= 1)
      .map((edge) => ({
        type: 'line',
        xref: 'x',
        yref: 'paper',
        x0: edge.median,
        x1: edge.median,
        y0: 0,
        y1: 1,
        line: { color: INK_SOFT, width: 1, dash: edge.seenBothSides ? 'dot' : 'dash' },
      })),
    annotations: [
      ...bandLabels(level, scale, { px, heightPx: heights.bands, fontPx: fontPx + 1 }),
      ...edgeLabels(edges, scale, { px, yref: 'y2', fontPx, short: narrow }),
      ...unseenLabels(level, scale, px),
    ],
  });
}

/** `not seen`, upright where there is no room to lie. */
function unseenLabels(level: LevelChart, scale: GaugeScale, px: number): readonly PlotlyObject[] {
  return unseenSides(level, scale).flatMap(([from, to]) => {
    const width = (axisShare(to, scale) - axisShare(from, scale)) * px;
    if (width < 16) return [];
    const middle = (axisPlace(from, scale.kind) + axisPlace(to, scale.kind)) / 2;
    return [
      {
        x: middle,
        y: 0.5,
        xref: 'x',
        yref: 'y',
        text: 'not seen',
        textangle: width < 70 ? -90 : 0,
        showarrow: false,
        font: { size: 13, color: INK },
        bgcolor: PAPER,
        borderpad: 3,
      },
    ];
  });
}

/** The picture in words, from its own numbers. */
function oddsAlt(gauge: GaugeChart, level: LevelChart): string {
  const unit = unitLabel(gauge.gauge.unit);
  const { values, odds } = seenRows(level);
  const likeliest = odds.map((row) => row.reduce((best, p, k) => (p > row[best]! ? k : best), 0));
  const stretches: string[] = [];
  for (let i = 0, from = 0; i < values.length; i++) {
    if (i + 1 < values.length && likeliest[i + 1] === likeliest[i]) continue;
    stretches.push(
      `${level.odds.classes[likeliest[i]!]!} from ${valueText(values[from]!)} to ${valueText(values[i]!)}`,
    );
    from = i + 1;
  }
  const edges = level.edges
    .filter((edge) => edge.feature === VERDICT)
    .map((edge) => `${edge.between.join(' to ')} at ${groupDigits(edge.rounded.toFixed(edge.digits))}`);
  const shown = gauge.visits.filter((visit) => visit.reading !== null).length;
  return [
    `Odds of each class over the ${level.way === 'effective' ? 'effective reading' : 'reading'} of ${gauge.gauge.name}, in ${unit}.`,
    stretches.length > 0 ? `Likeliest class: ${stretches.join('; ')}.` : 'No odds inside the values seen.',
    edges.length > 0 ? `Edges: ${edges.join('; ')}.` : '',
    `${shown} visits between ${valueText(level.seen.from)} and ${valueText(level.seen.to)}; nothing was seen outside.`,
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

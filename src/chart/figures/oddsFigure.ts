import { figures, fixed } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { PAPER } from '../palette.js';
import type { Edge, GaugeChart, LevelChart } from '../types.js';
import { bandLabels, bandTraces, seenRows, unseenSides, unseenTraces } from './bandTraces.js';
import { edgeLabels, edgeTraces } from './edgeRows.js';
import {
  axisStyle,
  axisTitle,
  figureOf,
  labelMargin,
  plotPx,
  wordAxis,
  type Figure,
  type PlotlyObject,
} from './figure.js';
import { axisPlace, axisShare, gaugeAxes, type GaugeScale } from './gaugeScale.js';
import { note, OTHER_UNIT, ruleUp } from './marks.js';
import { shareAxis } from './percentAxis.js';
import { plotlyText } from './plotlyText.js';
import { NO_VERDICT_ROW, sureTraces, visitTraces, type VisitWords } from './visitRows.js';

export interface OddsFigureOptions extends Pick<VisitWords, 'timeZone' | 'features'> {
  readonly scale: GaugeScale;
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
  const edges = verdictEdges(level);
  const noVerdict = gauge.visits.some((visit) => visit.classIndex < 0 && visit.reading !== null);
  const lowest = noVerdict ? NO_VERDICT_ROW : 0;
  const edgeRange = { yaxis: 'y2', low: -0.5, high: edges.length - 0.3 };
  const visitRange = { yaxis: 'y3', low: lowest - 0.5, high: classes.length - 0.5 };
  const data = [
    ...unseenTraces(level, scale, { yaxis: 'y', low: 0, high: 1 }),
    ...(edges.length > 0 ? unseenTraces(level, scale, edgeRange) : []),
    ...unseenTraces(level, scale, visitRange),
    ...bandTraces(level),
    ...edgeTraces(edges, scale, { yaxis: 'y2' }),
    ...sureTraces(level, scale, { yaxis: 'y3' }),
    ...visitTraces(gauge, scale, { yaxis: 'y3', classes, timeZone, features }),
    OTHER_UNIT,
  ];
  const way = level.way === 'effective' ? 'effective reading' : 'single reading';
  const said = { title: `Odds by the ${way} of ${gauge.gauge.name}`, alt: oddsAlt(gauge, level) };
  return figureOf(said, data, (narrow) => {
    const most = narrow ? 11 : 18;
    const rows = [...(noVerdict ? ['no verdict'] : []), ...classes];
    const margin = { l: Math.max(56, labelMargin(rows, { most }) - 4), r: 12, t: 44, b: 48 };
    const px = plotPx(narrow, margin);
    const bandPx = narrow ? 210 : 270;
    const edgePx = edges.length > 0 ? EDGE_ROW_PX * edges.length + 8 : 0;
    const visitPx = VISIT_ROW_PX * rows.length;
    const inner = bandPx + edgePx + visitPx + 2 * GAP_PX;
    const domain = (top: number, height: number) => [Math.max(0, 1 - (top + height) / inner), 1 - top / inner];
    const fontPx = narrow ? 12 : 13;
    const onPaper = edges.filter(({ median }) => axisShare(median, scale) >= 0 && axisShare(median, scale) <= 1);
    return {
      height: inner + margin.t + margin.b,
      margin,
      ...gaugeAxes(scale, { px, name: gauge.gauge.name, way: level.way, narrow, bottom: 'y3' }),
      yaxis: shareAxis('odds, %', { range: [0, 1], domain: domain(0, bandPx) }),
      yaxis2: axisStyle({
        domain: domain(bandPx + GAP_PX, edgePx),
        range: [-0.5, edges.length - 0.3],
        showticklabels: false,
        ticks: '',
        showgrid: false,
        visible: edges.length > 0,
        title: axisTitle('edges', 6),
      }),
      yaxis3: wordAxis(
        rows.map((word) => plotlyText(word, { maxChars: most })),
        rows.map((_, i) => lowest + i),
        {
          domain: domain(bandPx + edgePx + 2 * GAP_PX, visitPx),
          range: [lowest - 0.5, classes.length - 0.5],
          showgrid: true,
        },
      ),
      shapes: onPaper.map((edge) => ruleUp(edge.median, { width: 1, dash: edge.seenBothSides ? 'dot' : 'dash' })),
      annotations: [
        ...bandLabels(level, scale, { px, heightPx: bandPx, fontPx: fontPx + 1 }),
        ...edgeLabels(edges, scale, { px, yref: 'y2', fontPx, short: narrow }),
        ...unseenLabels(level, scale, px),
      ],
    };
  });
}

/** The edges of the whole run, lowest first. */
export function verdictEdges(level: LevelChart): readonly Edge[] {
  return level.edges.filter(({ feature }) => feature === VERDICT);
}

/** `low to good at 240; good to high at 420`, as rounded. */
export function edgesInWords(edges: readonly Edge[]): string {
  return edges.map(({ between, rounded, digits }) => `${between.join(' to ')} at ${fixed(rounded, digits)}`).join('; ');
}

/** `not seen`, upright where there is no room to lie. */
function unseenLabels(level: LevelChart, scale: GaugeScale, px: number): readonly PlotlyObject[] {
  return unseenSides(level, scale).flatMap(([from, to]) => {
    const width = (axisShare(to, scale) - axisShare(from, scale)) * px;
    if (width < 16) return [];
    const x = (axisPlace(from, scale.kind) + axisPlace(to, scale.kind)) / 2;
    const textangle = width < 70 ? -90 : 0;
    return [note('not seen', { size: 13, x, y: 0.5, textangle, bgcolor: PAPER, borderpad: 3 })];
  });
}

/** The picture in words, from its own numbers. */
function oddsAlt(gauge: GaugeChart, level: LevelChart): string {
  const { values, odds } = seenRows(level);
  const likeliest = odds.map((row) => row.indexOf(Math.max(...row)));
  const stretches: string[] = [];
  for (let i = 0, from = 0; i < values.length; i++) {
    if (i + 1 < values.length && likeliest[i + 1] === likeliest[i]) continue;
    stretches.push(`${level.odds.classes[likeliest[i]!]!} from ${figures(values[from]!)} to ${figures(values[i]!)}`);
    from = i + 1;
  }
  const edges = verdictEdges(level);
  const shown = gauge.visits.filter((visit) => visit.reading !== null).length;
  return [
    `Odds of each class over the ${level.way === 'effective' ? 'effective reading' : 'reading'} of ` +
      `${gauge.gauge.name}, in ${unitLabel(gauge.gauge.unit)}.`,
    stretches.length > 0 ? `Likeliest class: ${stretches.join('; ')}.` : 'No odds inside the values seen.',
    ...(edges.length > 0 ? [`Edges: ${edgesInWords(edges)}.`] : []),
    `${shown} visits between ${figures(level.seen.from)} and ${figures(level.seen.to)}; nothing was seen outside.`,
  ].join(' ');
}

import { goodClasses } from '../../judge/goodClasses.js';
import type { JudgedNextLook } from '../../judge/judgement.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { ACCENT, INK, INK_SOFT, PAPER, RULE } from '../palette.js';
import type { Edge, GaugeChart } from '../types.js';
import { axisStyle, baseLayout, drawn, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { axisPlace, gaugeAxes, gaugeTitle, type GaugeScale } from './gaugeScale.js';
import { inPercent, percentAxis } from './percentAxis.js';
import { percentText } from './percentText.js';
import { plotlyText } from './plotlyText.js';
import { valueText } from './valueText.js';

const MARGIN = { l: 58, r: 14, t: 46, b: 50 };
const HEIGHTS = { curve: 220, gap: 12, rug: 26 };

/**
 * By how much one more verdict would narrow the edges of the good range, over the gauge value it is given at. Under the curve
 * the 80 % intervals of those edges, which is what would get narrower; at the bottom a tick for each visit so far.
 *
 * @returns undefined where no value was tried or none lies on the gauge's scale.
 */
export function nextLookFigure(
  gauge: GaugeChart,
  { nextLook, scale }: { nextLook: JudgedNextLook; scale: GaugeScale },
): Figure | undefined {
  const rows = nextLook.byValue.filter(({ gaugeValue }) => gaugeValue >= scale.from && gaugeValue <= scale.to);
  if (rows.length === 0) return undefined;
  const edges = goodEdges(gauge);
  const highest = Math.max(0.01, ...rows.map(({ shrinkage }) => shrinkage));
  const visits = gauge.visits
    .map((visit) => visit.reading)
    .filter((value): value is number => value !== null && value >= scale.from && value <= scale.to);
  const inner = HEIGHTS.curve + HEIGHTS.gap + HEIGHTS.rug;
  const layout = (narrow: boolean) => {
    const px = plotPx(narrow, MARGIN);
    const title = gaugeTitle(gauge.gauge.name, { way: gauge.level?.way ?? 'one-reading', unit: scale.unit, narrow });
    return baseLayout({
      height: inner + MARGIN.t + MARGIN.b,
      margin: MARGIN,
      ...gaugeAxes(scale, { px, title, bottom: 'y2', top: 'y' }),
      yaxis: {
        ...percentAxis(
          { from: 0, to: 1.18 * highest },
          { px: HEIGHTS.curve, title: narrow ? 'narrower by, %' : 'edges get narrower by, %', standoff: 6, apart: 32 },
        ),
        domain: [1 - HEIGHTS.curve / inner, 1],
      },
      yaxis2: axisStyle({
        domain: [0, HEIGHTS.rug / inner],
        range: [-1, 1],
        tickvals: [0],
        ticktext: ['visits'],
        ticks: '',
        showgrid: false,
      }),
      annotations: edges.map((edge) => edgeLabel(edge, { scale, rows, highest })),
    });
  };
  return {
    kind: 'figure',
    title: 'Where one more look tells most',
    alt: nextLookAlt(rows, { looks: nextLook.looks, edges, visits: visits.length, unit: unitLabel(scale.unit) }),
    data: [
      ...edges.map((edge) => edgeBand(edge, { scale, top: inPercent(1.18 * highest) })),
      {
        type: 'scatter',
        mode: 'lines+markers',
        x: rows.map(({ gaugeValue }) => drawn(gaugeValue)),
        y: rows.map(({ shrinkage }) => inPercent(shrinkage)),
        line: { color: INK, width: 2 },
        marker: { symbol: 'circle', size: 6, color: PAPER, line: { color: INK, width: 1.5 } },
        text: rows.map(
          ({ gaugeValue, shrinkage }) =>
            `a verdict at ${valueText(gaugeValue)} ${unitLabel(scale.unit)}:<br>about ${percentText(shrinkage)} narrower`,
        ),
        hovertemplate: '%{text}<extra></extra>',
      },
      {
        type: 'scatter',
        mode: 'markers',
        x: visits.map(drawn),
        y: visits.map(() => 0),
        yaxis: 'y2',
        marker: { symbol: 'line-ns', size: 16, color: INK_SOFT, line: { color: INK_SOFT, width: 1.5 } },
        hoverinfo: 'skip',
      },
      // An axis without a trace is not drawn: this one carries the other unit system.
      { type: 'scatter', mode: 'markers', x: [1], y: [-9], xaxis: 'x2', hoverinfo: 'skip', marker: { opacity: 0 } },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

/** The edges that bound the good classes. */
function goodEdges({ level }: GaugeChart): readonly Edge[] {
  if (level === undefined || level.odds.classes.length === 0) return [];
  const { classes } = level.odds;
  const [low, high] = goodClasses(classes);
  return level.edges.filter(
    ({ feature, between }) =>
      feature === VERDICT && ((low > 0 && between[1] === classes[low]) || between[0] === classes[high]),
  );
}

function edgeBand(edge: Edge, { scale, top }: { scale: GaugeScale; top: number }): PlotlyObject {
  const inside = (value: number | null, end: number) =>
    drawn(value === null ? end : Math.min(scale.to, Math.max(scale.from, value)));
  const [from, to] = [inside(edge.i80[0], scale.from), inside(edge.i80[1], scale.to)];
  return {
    type: 'scatter',
    mode: 'lines',
    x: [from, to, to, from, from],
    y: [0, 0, top, top, 0],
    line: { width: 0 },
    fill: 'toself',
    fillcolor: RULE,
    fillpattern: { shape: '/', size: 7, solidity: 0.16, fgcolor: INK_SOFT, bgcolor: PAPER, fgopacity: 0.6 },
    hoverinfo: 'skip',
  };
}

/** The two classes, upright inside the band so that narrow bands can carry them, above or below the curve. */
function edgeLabel(
  edge: Edge,
  { scale, rows, highest }: { scale: GaugeScale; rows: JudgedNextLook['byValue']; highest: number },
): PlotlyObject {
  const near = rows.reduce((best, row) =>
    Math.abs(row.gaugeValue - edge.median) < Math.abs(best.gaugeValue - edge.median) ? row : best,
  );
  const above = near.shrinkage < highest / 2;
  const words = edge.between.map((word) => plotlyText(word, { maxChars: 14 }));
  return {
    x: axisPlace(Math.min(scale.to, Math.max(scale.from, edge.median)), scale.kind),
    y: above ? inPercent(1.18 * highest) : 0,
    yshift: above ? -4 : 4,
    xref: 'x',
    yref: 'y',
    yanchor: above ? 'top' : 'bottom',
    textangle: -90,
    text: words.join(' | '),
    showarrow: false,
    font: { size: 12, color: ACCENT },
    bgcolor: PAPER,
    borderpad: 2,
  };
}

function nextLookAlt(
  rows: JudgedNextLook['byValue'],
  {
    looks,
    edges,
    visits,
    unit,
  }: { looks: JudgedNextLook['looks']; edges: readonly Edge[]; visits: number; unit: string },
): string {
  const best = rows.reduce((most, row) => (row.shrinkage > most.shrinkage ? row : most));
  const least = rows.reduce((most, row) => (row.shrinkage < most.shrinkage ? row : most));
  const where = edges.map((edge) => `${edge.between.join(' to ')} at ${valueText(edge.median)}`);
  return [
    `How much narrower one more verdict would make the edges of the good range: most, ${percentText(best.shrinkage)}, at ${valueText(best.gaugeValue)} ${unit}; least, ${percentText(least.shrinkage)}, at ${valueText(least.gaugeValue)} ${unit}.`,
    ...(where.length > 0 ? [`Edges: ${where.join('; ')}.`] : []),
    ...(looks.length > 0
      ? [
          `Looks worth most: ${looks.map(({ from, to }) => `${valueText(from)} to ${valueText(to)}`).join(', ')} ${unit}.`,
        ]
      : []),
    `${visits} visits so far as ticks.`,
  ].join(' ');
}

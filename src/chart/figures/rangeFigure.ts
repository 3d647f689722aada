import { known } from '../../series/knownIds.js';
import { axisStyle, baseLayout, charPx, drawn, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { gaugeAxes, gaugeScale, gaugeTitle, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { shortList } from './shortList.js';
import { groupDigits } from './valueText.js';
import { classPalette, INK, RULE } from '../palette.js';
import type { CreekChart, Edge, GaugeChart, LevelChart, RunChart } from '../types.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';

interface Lane {
  readonly run: RunChart;
  readonly level: LevelChart;
}

const ROW_PX = 30;
const MOST_CHARS = 16;

/**
 * What one gauge reads at each class of every run: a bar from edge to edge (the end classes as far as a visit has been),
 * the sure range filled inside it, and the edges' 80 % intervals as whiskers. All runs on the gauge's one scale.
 *
 * @param chart the whole creek; `options.gauge` is a gauge's id.
 * @returns undefined where no run has a usable relation to this gauge. @throws RangeError for a gauge that the chart lacks.
 */
export function rangeFigure(chart: CreekChart, { gauge: id }: { gauge: string }): Figure | undefined {
  known('gauge', id, { among: chart.runs.flatMap(({ gauges }) => gauges.map(({ gauge }) => gauge)), of: 'the chart' });
  const found = chart.runs.flatMap((run) =>
    run.gauges.filter(({ gauge, trust }) => gauge.id === id && usable(trust.grade)).map((gauge) => ({ run, gauge })),
  );
  const lanes = found.flatMap(({ run, gauge }): readonly Lane[] =>
    gauge.level === undefined ? [] : [{ run, level: gauge.level }],
  );
  if (lanes.length === 0) return undefined;
  const gauge = found[0]!.gauge;
  const scale = gaugeScale(chart.runs.flatMap((run) => run.gauges.filter((other) => other.gauge.id === id)));
  const rows = placed(lanes);
  const words = rows.map(({ word }) => plotlyText(word, { maxChars: MOST_CHARS }));
  const margin = {
    l: Math.ceil(charPx(12) * Math.max(...rows.map(({ word }) => Math.min(MOST_CHARS, word.length)))) + 18,
    r: 14,
    t: 46,
    b: 50,
  };
  const lowest = Math.min(...rows.map(({ y }) => y)) - 0.6;
  const highest = Math.max(...rows.map(({ y }) => y)) + 1.4;
  const layout = (narrow: boolean): PlotlyObject => {
    const px = plotPx(narrow, margin);
    return baseLayout({
      height: Math.round(ROW_PX * (highest - lowest)) + margin.t + margin.b,
      margin,
      ...gaugeAxes(scale, {
        px,
        title: gaugeTitle(gauge.gauge.name, { way: lanes[0]!.level.way, unit: scale.unit, narrow }),
        bottom: 'y',
        top: 'y',
      }),
      yaxis: axisStyle({
        range: [lowest, highest],
        tickvals: rows.map(({ y }) => y),
        ticktext: words,
        ticks: '',
        showgrid: false,
      }),
      annotations: lanes.map(({ run }, lane) => ({
        x: 0.01,
        y: Math.max(...rows.filter((row) => row.lane === lane).map(({ y }) => y)) + 0.9,
        xref: 'paper',
        yref: 'y',
        xanchor: 'left',
        text: `<b>${plotlyText(run.name, { maxChars: Math.floor(px / charPx(13)) - 1 })}</b>`,
        showarrow: false,
        font: { size: 13, color: INK },
      })),
    });
  };
  return {
    kind: 'figure',
    title: `What ${gauge.gauge.name} reads at each class`,
    alt: rangeAlt(lanes, gauge),
    data: [
      ...rows.flatMap((row) => rowTraces(row, scale)),
      { type: 'scatter', mode: 'markers', x: [1], y: [-99], xaxis: 'x2', hoverinfo: 'skip', marker: { opacity: 0 } },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

const usable = (grade: string) => grade !== 'no usable relation';

interface Row {
  readonly lane: number;
  readonly level: LevelChart;
  readonly classIndex: number;
  readonly word: string;
  readonly y: number;
}

/** Runs from top to bottom, their classes from the highest down, with room for a name above each run. */
function placed(lanes: readonly Lane[]): readonly Row[] {
  let y = 0;
  return lanes.flatMap(({ run, level }, lane) => {
    if (lane > 0) y -= 1.6;
    return [...run.classes.keys()].reverse().map((classIndex) => {
      y -= 1;
      return { lane, level, classIndex, word: run.classes[classIndex]!, y };
    });
  });
}

function rowTraces({ level, classIndex: k, y }: Row, scale: GaugeScale): readonly PlotlyObject[] {
  const edges = verdictEdges(level);
  const look = classPalette(level.odds.classes.length)[k]!;
  const clamp = (value: number) => drawn(Math.min(scale.to, Math.max(scale.from, value)));
  const lower = edges[k - 1];
  const upper = edges[k];
  const from = clamp(lower?.median ?? level.seen.from);
  const to = clamp(upper?.median ?? level.seen.to);
  const sure = level.sureRanges.find(({ class: word }) => word === level.odds.classes[k]);
  const box = (x0: number, x1: number, half: number, more: PlotlyObject) => ({
    type: 'scatter',
    mode: 'lines',
    x: [x0, x1, x1, x0, x0],
    y: [y - half, y - half, y + half, y + half, y - half],
    fill: 'toself',
    hoverinfo: 'skip',
    ...more,
  });
  const traces: PlotlyObject[] = [];
  if (to > from) traces.push(box(from, to, 0.16, { fillcolor: RULE, line: { color: INK, width: 1, dash: 'dot' } }));
  const sureFrom = clamp(sure?.from ?? level.seen.from);
  const sureTo = clamp(sure?.to ?? level.seen.to);
  if (sure !== undefined && !sure.empty && sureTo > sureFrom)
    traces.push(
      box(sureFrom, sureTo, 0.34, {
        fillcolor: look.fill,
        fillpattern: { ...look.pattern, fgcolor: look.mark, bgcolor: look.fill, fgopacity: 0.6 },
        line: { color: INK, width: 1 },
      }),
    );
  for (const edge of [lower, upper]) if (edge !== undefined) traces.push(...whisker(edge, y, clamp));
  return traces;
}

function whisker(edge: Edge, y: number, clamp: (value: number) => number): readonly PlotlyObject[] {
  const [low, high] = edge.i80;
  return [
    {
      type: 'scatter',
      mode: 'lines',
      x: [clamp(low ?? edge.median), clamp(high ?? edge.median)],
      y: [y, y],
      line: { color: INK, width: 3 },
      hoverinfo: 'skip',
    },
    {
      type: 'scatter',
      mode: 'markers',
      x: [drawn(edge.median)],
      y: [y],
      marker: { symbol: 'line-ns', size: 16, color: INK, line: { color: INK, width: 2 } },
      text: [`${edge.between.map((word) => plotlyText(word)).join(' | ')}: ${edge.rounded.toFixed(edge.digits)}`],
      hovertemplate: '%{text}<extra></extra>',
    },
  ];
}

function verdictEdges(level: LevelChart): readonly Edge[] {
  return level.edges.filter((edge) => edge.feature === VERDICT);
}

function rangeAlt(lanes: readonly Lane[], { gauge }: GaugeChart): string {
  const runs = lanes.map(({ run, level }) => {
    const edges = verdictEdges(level).map(
      (edge) => `${edge.between.join(' to ')} at ${groupDigits(edge.rounded.toFixed(edge.digits))}`,
    );
    return `${run.name}: ${edges.join('; ')}`;
  });
  return `Readings of ${gauge.name} in ${unitLabel(gauge.unit)}. ${shortList(runs, { most: 750, between: '. ' })}.`;
}

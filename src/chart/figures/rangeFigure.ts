import { fixed } from '../../series/format.js';
import { known } from '../../series/knownIds.js';
import { unitLabel } from '../../series/units.js';
import { classPalette, INK, RULE } from '../palette.js';
import type { CreekChart, Edge, GaugeChart, LevelChart, RunChart } from '../types.js';
import { charPx, drawn, figureOf, labelMargin, plotPx, wordAxis, type Figure, type PlotlyObject } from './figure.js';
import { clampTo, gaugeAxes, gaugeScale, type GaugeScale } from './gaugeScale.js';
import { boxTrace, classFill, lineTrace, markTrace, note, OTHER_UNIT } from './marks.js';
import { edgesInWords, verdictEdges } from './oddsFigure.js';
import { plotlyText } from './plotlyText.js';
import { shortList } from './shortList.js';

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
  const all = chart.runs
    .flatMap((run) => run.gauges.map((gauge) => ({ run, gauge })))
    .filter(({ gauge }) => gauge.gauge.id === id);
  known('gauge', id, { among: chart.runs.flatMap(({ gauges }) => gauges.map(({ gauge }) => gauge)), of: 'the chart' });
  const lanes = all.flatMap(({ run, gauge: { level, trust } }): readonly Lane[] =>
    level === undefined || trust.grade === 'no usable relation' ? [] : [{ run, level }],
  );
  if (lanes.length === 0) return undefined;
  const { gauge } = all[0]!.gauge;
  const scale = gaugeScale(all.map((one) => one.gauge));
  const rows = placed(lanes);
  const words = rows.map(({ word }) => plotlyText(word, { maxChars: MOST_CHARS }));
  const margin = {
    l: labelMargin(
      rows.map(({ word }) => word),
      { most: MOST_CHARS },
    ),
    r: 14,
    t: 46,
    b: 50,
  };
  const ys = rows.map(({ y }) => y);
  const [lowest, highest] = [Math.min(...ys) - 0.6, Math.max(...ys) + 1.4];
  const said = { title: `What ${gauge.name} reads at each class`, alt: rangeAlt(lanes, gauge) };
  return figureOf(said, [...rows.flatMap((row) => rowTraces(row, scale)), OTHER_UNIT], (narrow) => {
    const px = plotPx(narrow, margin);
    return {
      height: Math.round(ROW_PX * (highest - lowest)) + margin.t + margin.b,
      margin,
      ...gaugeAxes(scale, { px, name: gauge.name, way: lanes[0]!.level.way, narrow }),
      yaxis: wordAxis(words, ys, { range: [lowest, highest] }),
      annotations: lanes.map(({ run }, lane) =>
        note(`<b>${plotlyText(run.name, { maxChars: Math.floor(px / charPx(13)) - 1 })}</b>`, {
          size: 13,
          x: 0.01,
          y: Math.max(...rows.filter((row) => row.lane === lane).map(({ y }) => y)) + 0.9,
          xref: 'paper',
          xanchor: 'left',
        }),
      ),
    };
  });
}

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
  const [lower, upper] = [edges[k - 1], edges[k]];
  const { seen } = level;
  const sure = level.sureRanges.find(({ class: word }) => word === level.odds.classes[k]);
  const bar = (from: number, to: number, half: number, more: PlotlyObject) => {
    const ends = [clampTo(scale, from), clampTo(scale, to)] as const;
    return ends[1] > ends[0] ? [boxTrace(ends, [y - half, y + half], more)] : [];
  };
  return [
    ...bar(lower?.median ?? seen.from, upper?.median ?? seen.to, 0.16, {
      fillcolor: RULE,
      line: { color: INK, width: 1, dash: 'dot' },
    }),
    ...(sure === undefined || sure.empty
      ? []
      : bar(sure.from ?? seen.from, sure.to ?? seen.to, 0.34, {
          ...classFill(look, 0.6),
          line: { color: INK, width: 1 },
        })),
    ...[lower, upper].flatMap((edge) => (edge === undefined ? [] : whisker(edge, y, scale))),
  ];
}

function whisker(
  { between, median, i80: [low, high], rounded, digits }: Edge,
  y: number,
  scale: GaugeScale,
): readonly PlotlyObject[] {
  const text = [`${between.map((word) => plotlyText(word)).join(' | ')}: ${fixed(rounded, digits)}`];
  return [
    lineTrace([clampTo(scale, low ?? median), clampTo(scale, high ?? median)], [y, y], { color: INK, width: 3 }),
    markTrace([drawn(median)], [y], {
      marker: { symbol: 'line-ns', size: 16, color: INK, line: { color: INK, width: 2 } },
      text,
    }),
  ];
}

function rangeAlt(lanes: readonly Lane[], { name, unit }: GaugeChart['gauge']): string {
  const runs = lanes.map(({ run, level }) => `${run.name}: ${edgesInWords(verdictEdges(level))}`);
  return `Readings of ${name} in ${unitLabel(unit)}. ${shortList(runs, { most: 750, between: '. ' })}.`;
}

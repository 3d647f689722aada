import { goodClasses } from '../../judge/goodClasses.js';
import type { JudgedNextLook } from '../../judge/judgement.js';
import { figures, share } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { VERDICT } from '../../series/visits.js';
import { ACCENT, INK, INK_SOFT, PAPER, RULE } from '../palette.js';
import type { Edge, GaugeChart } from '../types.js';
import { drawn, figureOf, plotPx, wordAxis, type Figure, type PlotlyObject } from './figure.js';
import { axisPlace, clampTo, gaugeAxes, type GaugeScale } from './gaugeScale.js';
import { boxTrace, markTrace, note, OTHER_UNIT } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';
import { plotlyText } from './plotlyText.js';

const MARGIN = { l: 58, r: 14, t: 46, b: 50 };
const HEIGHTS = { curve: 220, gap: 12, rug: 26 };

/**
 * By how much one more verdict would narrow the edges of the good range, over the gauge value it is given at. Under the curve
 * the 80 % intervals of those edges, which is what would get narrower; at the bottom a tick for each visit so far.
 *
 * @param gauge the gauge's chart.
 * @returns undefined where no value was tried or none lies on the gauge's scale.
 */
export function nextLookFigure(
  gauge: GaugeChart,
  { nextLook, scale }: { nextLook: JudgedNextLook; scale: GaugeScale },
): Figure | undefined {
  const onAxis = (value: number) => value >= scale.from && value <= scale.to;
  const rows = nextLook.byValue.filter(({ gaugeValue }) => onAxis(gaugeValue));
  if (rows.length === 0) return undefined;
  const edges = goodEdges(gauge);
  const highest = Math.max(0.01, ...rows.map(({ shrinkage }) => shrinkage));
  const visits = gauge.visits.flatMap(({ reading }) => (reading !== null && onAxis(reading) ? [reading] : []));
  const inner = HEIGHTS.curve + HEIGHTS.gap + HEIGHTS.rug;
  const unit = unitLabel(scale.unit);
  const top = inPercent(1.18 * highest);
  const rug = { symbol: 'line-ns', size: 16, color: INK_SOFT, line: { color: INK_SOFT, width: 1.5 } };
  const data = [
    ...edges.map((edge) => edgeBand(edge, { scale, top })),
    markTrace(
      rows.map(({ gaugeValue }) => drawn(gaugeValue)),
      rows.map(({ shrinkage }) => inPercent(shrinkage)),
      {
        mode: 'lines+markers',
        line: { color: INK, width: 2 },
        marker: { symbol: 'circle', size: 6, color: PAPER, line: { color: INK, width: 1.5 } },
        text: rows.map(
          ({ gaugeValue, shrinkage }) =>
            `a verdict at ${figures(gaugeValue)} ${unit}:<br>about ${share(shrinkage)} narrower`,
        ),
      },
    ),
    markTrace(
      visits.map(drawn),
      visits.map(() => 0),
      { yaxis: 'y2', marker: rug },
    ),
    OTHER_UNIT,
  ];
  const alt = `${nextLookAlt(rows, { looks: nextLook.looks, edges, unit })} ${visits.length} visits so far as ticks.`;
  return figureOf({ title: 'Where one more look tells most', alt }, data, (narrow) => {
    const name = gauge.gauge.name;
    const title = narrow ? 'narrower by, %' : 'edges get narrower by, %';
    return {
      height: inner + MARGIN.t + MARGIN.b,
      margin: MARGIN,
      ...gaugeAxes(scale, {
        px: plotPx(narrow, MARGIN),
        name,
        way: gauge.level?.way ?? 'one-reading',
        narrow,
        bottom: 'y2',
      }),
      yaxis: {
        ...percentAxis({ from: 0, to: 1.18 * highest }, { px: HEIGHTS.curve, title, up: true }),
        domain: [1 - HEIGHTS.curve / inner, 1],
      },
      yaxis2: wordAxis(['visits'], [0], { domain: [0, HEIGHTS.rug / inner], range: [-1, 1] }),
      annotations: edges.map((edge) => edgeLabel(edge, { scale, rows, highest })),
    };
  });
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

function edgeBand({ i80: [low, high] }: Edge, { scale, top }: { scale: GaugeScale; top: number }): PlotlyObject {
  const ends = [clampTo(scale, low ?? scale.from), clampTo(scale, high ?? scale.to)] as const;
  const fillpattern = { shape: '/', size: 7, solidity: 0.16, fgcolor: INK_SOFT, bgcolor: PAPER, fgopacity: 0.6 };
  return boxTrace(ends, [0, top], { fillcolor: RULE, fillpattern });
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
  return note(edge.between.map((word) => plotlyText(word, { maxChars: 14 })).join(' | '), {
    x: axisPlace(clampTo(scale, edge.median), scale.kind),
    y: above ? inPercent(1.18 * highest) : 0,
    yshift: above ? -4 : 4,
    yanchor: above ? 'top' : 'bottom',
    textangle: -90,
    bgcolor: PAPER,
    borderpad: 2,
    font: { size: 12, color: ACCENT },
  });
}

function nextLookAlt(
  rows: JudgedNextLook['byValue'],
  { looks, edges, unit }: { looks: JudgedNextLook['looks']; edges: readonly Edge[]; unit: string },
): string {
  const sorted = [...rows].sort((a, b) => b.shrinkage - a.shrinkage);
  const said = ({ gaugeValue, shrinkage }: (typeof rows)[number]) =>
    `${share(shrinkage)}, at ${figures(gaugeValue)} ${unit}`;
  const where = edges.map((edge) => `${edge.between.join(' to ')} at ${figures(edge.median)}`);
  const worth = looks.map(({ from, to }) => `${figures(from)} to ${figures(to)}`);
  return [
    `How much narrower one more verdict would make the edges of the good range: most, ${said(sorted[0]!)}; ` +
      `least, ${said(sorted[sorted.length - 1]!)}.`,
    ...(where.length > 0 ? [`Edges: ${where.join('; ')}.`] : []),
    ...(worth.length > 0 ? [`Looks worth most: ${worth.join(', ')} ${unit}.`] : []),
  ].join(' ');
}

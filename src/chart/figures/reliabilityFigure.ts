import type { JudgedScores } from '../../judge/judgement.js';
import { INK, INK_SOFT, PAPER, RULE } from '../palette.js';
import { axisStyle, axisTitle, baseLayout, drawn, NARROW_PX, type Figure, type PlotlyObject } from './figure.js';
import { inPercent, percentAxis } from './percentAxis.js';
import { measuredText, percentRange, percentText } from './percentText.js';

type Bin = JudgedScores['reliability']['bins'][number];

const MARGIN = { l: 58, r: 16, t: 14, b: 50 };
const HEIGHTS = { odds: 300, gap: 20, often: 84 };
/** Width that the upper strip's labels are planned for: the page draws this one no wider. */
const MOST_PX = 600;

/**
 * Stated odds against what happened. Above: a dot a bin with its 80 % interval, on a grey bar where it would lie in 80 % of
 * worlds in which the odds are right; hollow where it lies off its bar. Below: how often such odds were stated.
 *
 * @param reliability bins of odds with floods left out.
 * @returns undefined where no bin holds anything.
 */
export function reliabilityFigure({ bins: all }: Pick<JudgedScores['reliability'], 'bins'>): Figure | undefined {
  const bins = all.filter((bin) => bin.seen.value !== null && bin.weight > 0);
  if (bins.length === 0) return undefined;
  const total = bins.reduce((sum, { weight }) => sum + weight, 0);
  const most = Math.max(...bins.map(({ weight }) => weight / total));
  const inner = HEIGHTS.odds + HEIGHTS.gap + HEIGHTS.often;
  const layout = (narrow: boolean) => {
    const px = (narrow ? NARROW_PX : MOST_PX) - MARGIN.l - MARGIN.r;
    const title = narrow ? 'odds stated, %' : 'odds that the chart stated for a class, %';
    return baseLayout({
      height: inner + MARGIN.t + MARGIN.b,
      margin: MARGIN,
      xaxis: { ...percentAxis({ from: -0.04, to: 1.04 }, { px, title }), anchor: 'y2' },
      yaxis: {
        ...percentAxis(
          { from: -0.03, to: 1.03 },
          { px: HEIGHTS.odds, title: 'of these came true, %', standoff: 6, apart: 32 },
        ),
        domain: [1 - HEIGHTS.odds / inner, 1],
      },
      yaxis2: axisStyle({
        domain: [0, HEIGHTS.often / inner],
        range: [0, 1.3 * inPercent(most)],
        showticklabels: false,
        ticks: '',
        showgrid: false,
        title: axisTitle('how often', 6),
      }),
      annotations: [
        side('came true more often than stated', { x: 2, y: 97, xanchor: 'left', narrow }),
        side('came true less often', { x: 98, y: 3, xanchor: 'right', narrow }),
      ],
    });
  };
  return {
    kind: 'figure',
    title: 'Stated odds against what happened',
    alt: reliabilityAlt(bins, total),
    data: [
      ...bins.map(consistencyBar),
      { type: 'scatter', mode: 'lines', x: [0, 100], y: [0, 100], line: dashed(), hoverinfo: 'skip' },
      ...bins.map(seenBar),
      {
        type: 'scatter',
        mode: 'markers',
        x: bins.map(({ stated }) => inPercent(stated)),
        y: bins.map(({ seen }) => inPercent(seen.value!)),
        marker: {
          symbol: 'circle',
          size: 11,
          color: bins.map((bin) => (asExpected(bin) ? INK : PAPER)),
          line: { color: INK, width: 2 },
        },
        text: bins.map((bin) => binHover(bin)),
        hovertemplate: '%{text}<extra></extra>',
      },
      {
        type: 'bar',
        x: bins.map(({ from, to }) => drawn(50 * (from + to))),
        y: bins.map(({ weight }) => inPercent(weight / total)),
        width: bins.map(({ from, to }) => drawn(100 * (to - from))),
        yaxis: 'y2',
        marker: { color: RULE, line: { color: INK_SOFT, width: 1 } },
        text: bins.map(({ weight }) => percentText(weight / total)),
        textposition: 'outside',
        constraintext: 'none',
        textangle: 0,
        textfont: { size: 11, color: INK },
        cliponaxis: false,
        hoverinfo: 'skip',
      },
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

function dashed(): PlotlyObject {
  return { color: INK_SOFT, width: 1.5, dash: 'dash' };
}

function consistencyBar({ stated, ifRight80: [low, high] }: Bin): PlotlyObject {
  // A bar of no height would vanish where the odds leave chance no room.
  const [from, to] = [Math.min(low, high - 0.006), Math.max(high, low + 0.006)];
  return {
    type: 'scatter',
    mode: 'lines',
    x: [inPercent(stated), inPercent(stated)],
    y: [inPercent(from), inPercent(to)],
    line: { color: RULE, width: 18 },
    hoverinfo: 'skip',
  };
}

function seenBar({ stated, seen: { value, i80 } }: Bin): PlotlyObject {
  return {
    type: 'scatter',
    mode: 'lines',
    x: [inPercent(stated), inPercent(stated)],
    y: [inPercent(i80[0] ?? value!), inPercent(i80[1] ?? value!)],
    line: { color: INK, width: 2 },
    hoverinfo: 'skip',
  };
}

/** Whether chance alone would put the dot where it is, in 80 of 100 worlds. */
function asExpected({ seen, ifRight80: [low, high] }: Bin): boolean {
  return seen.value! >= low - 0.005 && seen.value! <= high + 0.005;
}

function side(
  text: string,
  { x, y, xanchor, narrow }: { x: number; y: number; xanchor: string; narrow: boolean },
): PlotlyObject {
  return {
    x,
    y,
    xref: 'x',
    yref: 'y',
    xanchor,
    text: narrow ? text.replace(' than stated', '') : text,
    showarrow: false,
    font: { size: 12, color: INK_SOFT },
    bgcolor: PAPER,
    borderpad: 1,
  };
}

function binHover({ stated, seen, ifRight80, floods }: Bin): string {
  return [
    `stated ${percentText(stated)}`,
    `came true ${measuredText(seen)}`,
    `if right: ${percentRange(ifRight80)}`,
    `from ${floods} floods`,
  ].join('<br>');
}

function reliabilityAlt(bins: readonly Bin[], total: number): string {
  const rows = bins.map(
    ({ stated, seen, ifRight80, weight }) =>
      `stated ${percentText(stated)}, came true ${measuredText(seen)}, if right ${percentRange(ifRight80)} (${percentText(weight / total)} of all)`,
  );
  return `Odds stated against how often they came true, by bins of odds: ${rows.join('; ')}.`;
}

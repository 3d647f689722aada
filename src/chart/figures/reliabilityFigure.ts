import type { JudgedScores } from '../../judge/judgement.js';
import { share, shareRange, shareWithI80 } from '../../series/format.js';
import { INK, INK_SOFT, PAPER, RULE } from '../palette.js';
import { axisStyle, axisTitle, drawn, figureOf, NARROW_PX, type Figure, type PlotlyObject } from './figure.js';
import { lineTrace, markTrace, note } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

type Bin = JudgedScores['reliability']['bins'][number];

const MARGIN = { l: 58, r: 16, t: 14, b: 50 };
const HEIGHTS = { odds: 300, gap: 20, often: 84 };
const SIDE = { font: { size: 12, color: INK_SOFT }, bgcolor: PAPER, borderpad: 1 };
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
  const upright = ({ stated }: Bin, [from, to]: readonly [number, number], line: PlotlyObject) =>
    lineTrace([inPercent(stated), inPercent(stated)], [inPercent(from), inPercent(to)], line);
  const data = [
    // A bar of no height would vanish where the odds leave chance no room.
    ...bins.map((bin) => {
      const [low, high] = bin.ifRight80;
      return upright(bin, [Math.min(low, high - 0.006), Math.max(high, low + 0.006)], { color: RULE, width: 18 });
    }),
    lineTrace([0, 100], [0, 100], { color: INK_SOFT, width: 1.5, dash: 'dash' }),
    ...bins.map((bin) => {
      const { value, i80 } = bin.seen;
      return upright(bin, [i80[0] ?? value!, i80[1] ?? value!], { color: INK, width: 2 });
    }),
    markTrace(
      bins.map(({ stated }) => inPercent(stated)),
      bins.map(({ seen }) => inPercent(seen.value!)),
      {
        marker: {
          symbol: 'circle',
          size: 11,
          color: bins.map((bin) => (asExpected(bin) ? INK : PAPER)),
          line: { color: INK, width: 2 },
        },
        text: bins.map((bin) => said(bin).join('<br>')),
      },
    ),
    oftenBars(bins, total),
  ];
  const alt =
    'Odds stated against how often they came true, by bins of odds: ' +
    `${bins.map((bin) => `${said(bin).slice(0, 3).join(', ')} (${share(bin.weight / total)} of all)`).join('; ')}.`;
  return figureOf({ title: 'Stated odds against what happened', alt }, data, (narrow) => {
    const px = (narrow ? NARROW_PX : MOST_PX) - MARGIN.l - MARGIN.r;
    const title = narrow ? 'odds stated, %' : 'odds that the chart stated for a class, %';
    const up = { px: HEIGHTS.odds, title: 'of these came true, %', up: true };
    return {
      height: inner + MARGIN.t + MARGIN.b,
      margin: MARGIN,
      xaxis: { ...percentAxis({ from: -0.04, to: 1.04 }, { px, title }), anchor: 'y2' },
      yaxis: { ...percentAxis({ from: -0.03, to: 1.03 }, up), domain: [1 - HEIGHTS.odds / inner, 1] },
      yaxis2: axisStyle({
        domain: [0, HEIGHTS.often / inner],
        range: [0, 1.3 * inPercent(most)],
        showticklabels: false,
        ticks: '',
        showgrid: false,
        title: axisTitle('how often', 6),
      }),
      annotations: [
        note(`came true more often${narrow ? '' : ' than stated'}`, { x: 2, y: 97, xanchor: 'left', ...SIDE }),
        note('came true less often', { x: 98, y: 3, xanchor: 'right', ...SIDE }),
      ],
    };
  });
}

function oftenBars(bins: readonly Bin[], total: number): PlotlyObject {
  return {
    type: 'bar',
    x: bins.map(({ from, to }) => drawn(50 * (from + to))),
    y: bins.map(({ weight }) => inPercent(weight / total)),
    width: bins.map(({ from, to }) => drawn(100 * (to - from))),
    yaxis: 'y2',
    marker: { color: RULE, line: { color: INK_SOFT, width: 1 } },
    text: bins.map(({ weight }) => share(weight / total)),
    textposition: 'outside',
    constraintext: 'none',
    textangle: 0,
    textfont: { size: 11, color: INK },
    cliponaxis: false,
    hoverinfo: 'skip',
  };
}

/** Whether chance alone would put the dot where it is, in 80 of 100 worlds. */
function asExpected({ seen, ifRight80: [low, high] }: Bin): boolean {
  return seen.value! >= low - 0.005 && seen.value! <= high + 0.005;
}

function said({ stated, seen, ifRight80, floods }: Bin): readonly string[] {
  return [
    `stated ${share(stated)}`,
    `came true ${shareWithI80(seen)}`,
    `if right ${shareRange(ifRight80)}`,
    `from ${floods} floods`,
  ];
}

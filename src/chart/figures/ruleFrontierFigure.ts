import type { JudgedCost, JudgedRules } from '../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import { ACCENT, INK, INK_SOFT, PAPER, VEIL } from '../palette.js';
import { baseLayout, charPx, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { inPercent, percentAxis } from './percentAxis.js';
import { measuredText, percentText } from './percentText.js';
import { valueText } from './valueText.js';

type FrontierPoint = JudgedRules['frontier'][number];

const MARGIN = { l: 58, r: 16, t: 30, b: 50 };
const HEIGHT = 330;
/** Rules are drawn up to this many times the rate asked for. */
const FARTHEST = 4;
const MOST_MISSED = 0.95;

/**
 * What a rule "go when the gauge reads A to B" costs: days found too high against good days missed, one mark for each rule
 * that no other beats, the chosen one as it did on floods that it had not been chosen by, with both its intervals.
 *
 * @param rules the frontier and the choice; `options.unit` is the gauge's.
 * @returns undefined without a frontier.
 */
export function ruleFrontierFigure(
  { frontier: all, chosen, rate }: Pick<JudgedRules, 'frontier' | 'chosen' | 'rate'>,
  { unit }: { unit: GaugeUnit },
): Figure | undefined {
  if (all.length === 0) return undefined;
  const tested = chosen === null ? undefined : testedPoint(chosen.costLeftOut);
  const reach = Math.max(
    FARTHEST * rate,
    chosen?.costLeftOut.tooHigh.i80[1] ?? 0,
    chosen?.costLeftOut.tooHigh.value ?? 0,
  );
  // A rule that misses nearly every good day, or is far too bold, is none that anybody would take.
  const near = all.filter(({ tooHigh, missed }) => tooHigh <= reach && missed < MOST_MISSED);
  const frontier = near.length > 0 ? near : all;
  const farthest = Math.max(
    2 * rate,
    ...frontier.map(({ tooHigh }) => tooHigh),
    chosen?.costLeftOut.tooHigh.i80[1] ?? 0,
  );
  const to = Math.min(1.02, 1.08 * farthest);
  const label = (rule: { readonly atLeast: number; readonly atMost: number }) =>
    `${valueText(rule.atLeast)} to ${valueText(rule.atMost)}`;
  const layout = (narrow: boolean) => {
    const px = plotPx(narrow, MARGIN);
    return baseLayout({
      height: HEIGHT,
      margin: MARGIN,
      xaxis: percentAxis(
        { from: -0.02 * to, to },
        { px, title: narrow ? 'found too high, % of days gone' : 'days found too high, % of the days gone' },
      ),
      yaxis: percentAxis(
        { from: -0.04, to: 1.04 },
        {
          px: HEIGHT - MARGIN.t - MARGIN.b,
          title: narrow ? 'good days missed, %' : 'good days missed, % of all good days',
          standoff: 6,
          apart: 32,
        },
      ),
      shapes: [
        {
          type: 'line',
          xref: 'x',
          yref: 'paper',
          ...spot(rate),
          y0: 0,
          y1: 1,
          line: { color: INK_SOFT, dash: 'dash' },
        },
      ],
      annotations: [
        {
          x: inPercent(rate),
          y: 1.01,
          xref: 'x',
          yref: 'paper',
          xanchor: rate > to / 2 ? 'right' : 'left',
          yanchor: 'bottom',
          text: `asked for: under ${percentText(rate)}`,
          showarrow: false,
          font: { size: 12, color: INK },
        },
        ...ruleLabels(frontier, { chosen, label, to, px, unit: unitLabel(unit) }),
      ],
    });
  };
  return {
    kind: 'figure',
    title: 'What a rule costs',
    alt: frontierAlt({ frontier, chosen, rate }, { label, unit: unitLabel(unit) }),
    data: [
      {
        type: 'scatter',
        mode: 'lines+markers',
        x: frontier.map(({ tooHigh }) => inPercent(tooHigh)),
        y: frontier.map(({ missed }) => inPercent(missed)),
        line: { color: INK_SOFT, width: 1 },
        marker: { symbol: 'circle', size: 7, color: PAPER, line: { color: INK, width: 1.5 } },
        text: frontier.map((point) => pointHover(point, { label, unit: unitLabel(unit) })),
        hovertemplate: '%{text}<extra></extra>',
      },
      ...(tested ?? []),
    ],
    layout: layout(false),
    narrow: layout(true),
  };
}

function spot(share: number): PlotlyObject {
  return { x0: inPercent(share), x1: inPercent(share) };
}

/** The chosen rule as tested, a filled diamond with its intervals both ways; undefined where nothing came of it. */
function testedPoint({ tooHigh, missed, goDays }: JudgedCost): readonly PlotlyObject[] | undefined {
  if (!(goDays > 0) || tooHigh.value === null || missed.value === null) return undefined;
  const [x, y] = [inPercent(tooHigh.value), inPercent(missed.value)];
  const bar = (xs: readonly number[], ys: readonly number[]) => ({
    type: 'scatter',
    mode: 'lines',
    x: xs,
    y: ys,
    line: { color: ACCENT, width: 3 },
    hoverinfo: 'skip',
  });
  return [
    bar([inPercent(tooHigh.i80[0] ?? tooHigh.value), inPercent(tooHigh.i80[1] ?? tooHigh.value)], [y, y]),
    bar([x, x], [inPercent(missed.i80[0] ?? missed.value), inPercent(missed.i80[1] ?? missed.value)]),
    {
      type: 'scatter',
      mode: 'markers',
      x: [x],
      y: [y],
      marker: { symbol: 'diamond', size: 14, color: ACCENT, line: { color: INK, width: 1.5 } },
      text: [
        `the chosen rule, tested<br>too high ${measuredText(tooHigh)}<br>good days missed ${measuredText(missed)}`,
      ],
      hovertemplate: '%{text}<extra></extra>',
    },
  ];
}

/** The chosen rule's name beside its mark, and that of the most careful and the boldest, where they have room and hide least of the line. */
function ruleLabels(
  frontier: readonly FrontierPoint[],
  {
    chosen,
    label,
    to,
    px,
    unit,
  }: {
    chosen: JudgedRules['chosen'];
    label: (rule: { atLeast: number; atMost: number }) => string;
    to: number;
    px: number;
    unit: string;
  },
): readonly PlotlyObject[] {
  // Both axes begin a little below zero.
  const place = (share: number) => ((share + 0.02 * to) / (1.02 * to)) * px;
  const place100 = (share: number) => ((share + 0.04) / 1.08) * (HEIGHT - MARGIN.t - MARGIN.b);
  const cost = chosen?.costLeftOut;
  const wanted = [
    ...(chosen !== null &&
    cost !== undefined &&
    cost.tooHigh.value !== null &&
    cost.missed.value !== null &&
    cost.goDays > 0
      ? [{ x: cost.tooHigh.value, y: cost.missed.value, text: `<b>${label(chosen.rule)} ${unit}</b>`, chars: 6 }]
      : []),
    ...[frontier[0]!, frontier[frontier.length - 1]!].map((point) => ({
      x: point.tooHigh,
      y: point.missed,
      text: label(point),
      chars: 0,
    })),
  ];
  const taken: Box[] = [];
  const line = alongFrontier(frontier).map(({ tooHigh, missed }) => [place(tooHigh), place100(missed)] as const);
  return wanted.flatMap(({ x, y, text, chars }) => {
    const width = charPx(12) * (text.replace(/<[^>]*>/g, '').length + chars / 6) + 14;
    const boxes = [1, -1].flatMap((up) =>
      [1, -1].map((side): Box & { side: number; up: number } => {
        const [left, low] = [place(x) + (side > 0 ? 0 : -width), place100(y) + LABEL_UP * up - 9];
        return { left, right: left + width, low, high: low + 18, side, up };
      }),
    );
    const inside = boxes.filter(
      (box) => box.left >= 0 && box.right <= px && box.low >= 0 && taken.every((other) => !meet(box, other)),
    );
    const hidden = (box: Box) =>
      line.filter(([at, height]) => meet(box, { left: at, right: at, low: height, high: height }));
    const [best] = inside.sort((one, other) => hidden(one).length - hidden(other).length);
    if (best === undefined) return [];
    taken.push(best);
    return [
      {
        x: inPercent(x),
        y: inPercent(y),
        xref: 'x',
        yref: 'y',
        xanchor: best.side > 0 ? 'left' : 'right',
        xshift: 10 * best.side,
        yshift: LABEL_UP * best.up,
        text,
        showarrow: false,
        font: { size: 12, color: INK },
        bgcolor: VEIL,
      },
    ];
  });
}

/** How far a label stands above or below its mark, px. */
const LABEL_UP = 13;

/** A label's place in px from the plot's lower left corner. */
interface Box {
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

function meet(one: Box, other: Box): boolean {
  return one.left <= other.right && one.right >= other.left && one.low <= other.high && one.high >= other.low;
}

/** The frontier's line as close points: between two marks it can run under a label, too. */
function alongFrontier(frontier: readonly FrontierPoint[]): readonly Pick<FrontierPoint, 'tooHigh' | 'missed'>[] {
  return frontier.flatMap((point, i) => {
    const next = frontier[i + 1] ?? point;
    return [0, 0.25, 0.5, 0.75].map((t) => ({
      tooHigh: point.tooHigh + t * (next.tooHigh - point.tooHigh),
      missed: point.missed + t * (next.missed - point.missed),
    }));
  });
}

function pointHover(
  point: FrontierPoint,
  { label, unit }: { label: (rule: FrontierPoint) => string; unit: string },
): string {
  return [
    `${label(point)} ${unit}`,
    `too high ${percentText(point.tooHigh)}, wasted ${percentText(point.wasted)}`,
    `good days missed ${percentText(point.missed)}`,
  ].join('<br>');
}

function frontierAlt(
  { frontier, chosen, rate }: Pick<JudgedRules, 'frontier' | 'chosen' | 'rate'>,
  { label, unit }: { label: (rule: { atLeast: number; atMost: number }) => string; unit: string },
): string {
  const said = (point: FrontierPoint) =>
    `${label(point)} ${unit}: too high on ${percentText(point.tooHigh)}, ${percentText(point.missed)} of the good days missed`;
  const ends =
    frontier.length === 1
      ? `One rule that no other beats, ${said(frontier[0]!)}.`
      : `${frontier.length} rules that no other beats, from ${said(frontier[0]!)}, to ${said(frontier[frontier.length - 1]!)}.`;
  if (chosen === null) return `${ends} None is chosen for days found too high under ${percentText(rate)}.`;
  const { tooHigh, missed } = chosen.costLeftOut;
  return `${ends} Chosen: ${label(chosen.rule)} ${unit}; tested on floods it was not chosen by, too high on ${measuredText(tooHigh)}, good days missed ${measuredText(missed)}.`;
}

import type { JudgedCost, JudgedRules } from '../../judge/judgement.js';
import { figures, share, shareWithI80 } from '../../series/format.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import { ACCENT, INK, INK_SOFT, PAPER } from '../palette.js';
import { charPx, figureOf, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { boxesMeet, labelPlacer, lineTrace, markTrace, note, ON_LINE, ruleUp, type Box } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

type FrontierPoint = JudgedRules['frontier'][number];
type Rule = Pick<FrontierPoint, 'atLeast' | 'atMost'>;

const MARGIN = { l: 58, r: 16, t: 30, b: 50 };
const HEIGHT = 330;
const PLOT_PX = HEIGHT - MARGIN.t - MARGIN.b;
/** Rules are drawn up to this many times the rate asked for. */
const FARTHEST = 4;
const MOST_MISSED = 0.95;
/** How far a label stands above or below its mark, px. */
const LABEL_UP = 13;

/**
 * What a rule "go when the gauge reads A to B" costs: days found too high against good days missed, one mark for each rule
 * that no other beats, the chosen one as it did on floods that it had not been chosen by, with both its intervals.
 *
 * @param rules the frontier and the choice; `options.unit` is the gauge's.
 * @returns undefined without a frontier.
 */
export function ruleFrontierFigure(
  { frontier: all, chosen, rate }: Pick<JudgedRules, 'frontier' | 'chosen' | 'rate'>,
  { unit: gaugeUnit }: { unit: GaugeUnit },
): Figure | undefined {
  if (all.length === 0) return undefined;
  const unit = unitLabel(gaugeUnit);
  const cost = chosen?.costLeftOut;
  const highest = cost?.tooHigh.i80[1] ?? 0;
  const reach = Math.max(FARTHEST * rate, highest, cost?.tooHigh.value ?? 0);
  // A rule that misses nearly every good day, or is far too bold, is none that anybody would take.
  const near = all.filter(({ tooHigh, missed }) => tooHigh <= reach && missed < MOST_MISSED);
  const frontier = near.length > 0 ? near : all;
  const to = Math.min(1.02, 1.08 * Math.max(2 * rate, highest, ...frontier.map(({ tooHigh }) => tooHigh)));
  const tested = cost === undefined ? undefined : testedAt(cost);
  const line = markTrace(
    frontier.map(({ tooHigh }) => inPercent(tooHigh)),
    frontier.map(({ missed }) => inPercent(missed)),
    {
      mode: 'lines+markers',
      line: { color: INK_SOFT, width: 1 },
      marker: { symbol: 'circle', size: 7, color: PAPER, line: { color: INK, width: 1.5 } },
      text: frontier.map(
        (point) =>
          `${ruleText(point)} ${unit}<br>too high ${share(point.tooHigh)}, wasted ${share(point.wasted)}<br>good ` +
          `days missed ${share(point.missed)}`,
      ),
    },
  );
  const wanted = [
    ...(tested === undefined ? [] : [{ ...tested, text: ruleText(chosen!.rule), bold: ` ${unit}` }]),
    ...[frontier[0]!, frontier[frontier.length - 1]!].map((point) => ({
      x: point.tooHigh,
      y: point.missed,
      text: ruleText(point),
    })),
  ];
  const said = { title: 'What a rule costs', alt: frontierAlt({ frontier, chosen, rate }, unit) };
  return figureOf(said, [line, ...(tested === undefined ? [] : testedTraces(cost!, tested))], (narrow) => {
    const px = plotPx(narrow, MARGIN);
    const along = narrow ? 'found too high, % of days gone' : 'days found too high, % of the days gone';
    const up = narrow ? 'good days missed, %' : 'good days missed, % of all good days';
    return {
      height: HEIGHT,
      margin: MARGIN,
      xaxis: percentAxis({ from: -0.02 * to, to }, { px, title: along }),
      yaxis: percentAxis({ from: -0.04, to: 1.04 }, { px: PLOT_PX, title: up, up: true }),
      shapes: [ruleUp(inPercent(rate), { dash: 'dash' })],
      annotations: [
        note(`asked for: under ${share(rate)}`, {
          ...{ x: inPercent(rate), y: 1.01, yref: 'paper', yanchor: 'bottom' },
          xanchor: rate > to / 2 ? 'right' : 'left',
        }),
        ...ruleLabels(frontier, { wanted, to, px }),
      ],
    };
  });
}

const ruleText = ({ atLeast, atMost }: Rule) => `${figures(atLeast)} to ${figures(atMost)}`;

/** Where the chosen rule lies as tested; undefined where nothing came of it. */
function testedAt({ tooHigh, missed, goDays }: JudgedCost): { readonly x: number; readonly y: number } | undefined {
  if (!(goDays > 0) || tooHigh.value === null || missed.value === null) return undefined;
  return { x: tooHigh.value, y: missed.value };
}

/** The chosen rule as tested, a filled diamond with its intervals both ways. */
function testedTraces(
  { tooHigh, missed }: JudgedCost,
  at: { readonly x: number; readonly y: number },
): readonly PlotlyObject[] {
  const [x, y] = [inPercent(at.x), inPercent(at.y)];
  const ends = ({ i80 }: JudgedCost['missed'], middle: number) => i80.map((end) => inPercent(end ?? middle));
  const bar = { color: ACCENT, width: 3 };
  return [
    lineTrace(ends(tooHigh, at.x), [y, y], bar),
    lineTrace([x, x], ends(missed, at.y), bar),
    markTrace([x], [y], {
      marker: { symbol: 'diamond', size: 14, color: ACCENT, line: { color: INK, width: 1.5 } },
      text: [
        `the chosen rule, tested<br>too high ${shareWithI80(tooHigh)}<br>good days missed ${shareWithI80(missed)}`,
      ],
    }),
  ];
}

/**
 * The chosen rule's name beside its mark, and that of the most careful and the boldest, where they have room and hide least of the line.
 */
function ruleLabels(
  frontier: readonly FrontierPoint[],
  {
    wanted,
    to,
    px,
  }: {
    wanted: readonly { readonly x: number; readonly y: number; readonly text: string; readonly bold?: string }[];
    to: number;
    px: number;
  },
): readonly PlotlyObject[] {
  // Both axes begin a little below zero.
  const across = (of: number) => ((of + 0.02 * to) / (1.02 * to)) * px;
  const up = (of: number) => ((of + 0.04) / 1.08) * PLOT_PX;
  const line = alongFrontier(frontier).map(({ tooHigh, missed }): Box => {
    const [x, y] = [across(tooHigh), up(missed)];
    return { left: x, right: x, low: y, high: y };
  });
  const place = labelPlacer();
  return wanted.flatMap(({ x, y, text, bold }) => {
    const width = charPx(12) * (text.length + (bold === undefined ? 0 : bold.length + 1)) + 14;
    const boxes = [1, -1].flatMap((above) =>
      [1, -1].map((side) => {
        const [left, low] = [across(x) + (side > 0 ? 0 : -width), up(y) + LABEL_UP * above - 9];
        const box = { left, right: left + width, low, high: low + 18 };
        return { ...box, side, above, hidden: line.filter((point) => boxesMeet(box, point)).length };
      }),
    );
    const inside = boxes.filter(({ left, right, low }) => left >= 0 && right <= px && low >= 0);
    const best = place(inside.sort((one, other) => one.hidden - other.hidden));
    if (best === undefined) return [];
    const at = { x: inPercent(x), y: inPercent(y), xanchor: best.side > 0 ? 'left' : 'right' };
    const shift = { xshift: 10 * best.side, yshift: LABEL_UP * best.above };
    return [note(bold === undefined ? text : `<b>${text}${bold}</b>`, { ...at, ...shift, ...ON_LINE })];
  });
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

function frontierAlt(
  { frontier, chosen, rate }: Pick<JudgedRules, 'frontier' | 'chosen' | 'rate'>,
  unit: string,
): string {
  const said = (point: FrontierPoint) =>
    `${ruleText(point)} ${unit}: too high on ${share(point.tooHigh)}, ${share(point.missed)} of the good days missed`;
  const ends =
    frontier.length === 1
      ? `One rule that no other beats, ${said(frontier[0]!)}.`
      : `${frontier.length} rules that no other beats, from ${said(frontier[0]!)}, to ${said(frontier[frontier.length - 1]!)}.`;
  if (chosen === null) return `${ends} None is chosen for days found too high under ${share(rate)}.`;
  const { tooHigh, missed } = chosen.costLeftOut;
  return (
    `${ends} Chosen: ${ruleText(chosen.rule)} ${unit}; tested on floods it was not chosen by, too high on ` +
    `${shareWithI80(tooHigh)}, good days missed ${shareWithI80(missed)}.`
  );
}

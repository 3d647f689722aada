import type { Measured } from '../../judge/floodRatios.js';
import type { JudgedLeadCurve } from '../../judge/judgement.js';
import { ACCENT, INK, INK_SOFT, PAPER, RULE, VEIL } from '../palette.js';
import { axisStyle, axisTitle, baseLayout, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { inPercent, percentAxis } from './percentAxis.js';
import { measuredText } from './percentText.js';

const MARGIN = { l: 58, r: 14, t: 14, b: 50 };
const HEIGHT = 300;
const WAYS = [
  { key: 'effective', name: 'effective reading' },
  { key: 'one-reading', name: 'one reading' },
] as const;
type WayKey = (typeof WAYS)[number]['key'];

/**
 * How much of the guesswork the gauge takes away when one decides some hours before being on the water, both ways of reading,
 * with 80 % intervals: a grey band with a full line, and bars on a dashed line.
 *
 * @returns undefined where no point was measured.
 */
export function leadCurveFigure({ points }: Pick<JudgedLeadCurve, 'points'>): Figure | undefined {
  const rows = points.filter((point) => point.effective.value !== null || point['one-reading'].value !== null);
  if (rows.length === 0) return undefined;
  const hours = rows.map(({ leadHours }) => leadHours);
  const all = rows
    .flatMap((point) => WAYS.flatMap(({ key }) => [point[key].value, ...point[key].i80]))
    .filter(isNumber);
  const from = Math.max(-1, Math.min(0, ...all)) - 0.04;
  const to = Math.min(1, Math.max(0.2, ...all)) + 0.06;
  const last = Math.max(...hours);
  const layout = (narrow: boolean) => {
    const px = plotPx(narrow, MARGIN);
    return baseLayout({
      height: HEIGHT,
      margin: MARGIN,
      xaxis: axisStyle({
        range: [-0.04 * (last + 1), last + 0.04 * (last + 1)],
        tickvals: hours.filter((hour, i) => i === 0 || ((hour - hours[i - 1]!) / (last + 1)) * px > 16),
        title: axisTitle(narrow ? 'decided before, h' : 'decided before being on the water, h'),
      }),
      yaxis: percentAxis(
        { from, to },
        { px: HEIGHT - MARGIN.t - MARGIN.b, title: 'guesswork taken away, %', standoff: 6, apart: 32 },
      ),
      shapes: [
        { type: 'line', xref: 'paper', yref: 'y', x0: 0, x1: 1, y0: 0, y1: 0, line: { color: INK_SOFT, dash: 'dash' } },
      ],
      annotations: wayLabels(rows),
    });
  };
  return {
    kind: 'figure',
    title: 'Deciding earlier',
    alt: leadAlt(rows),
    data: [...band(rows), ...bars(rows), line(rows, 'one-reading'), line(rows, 'effective')],
    layout: layout(false),
    narrow: layout(true),
  };
}

type Points = JudgedLeadCurve['points'];

const isNumber = (value: number | null): value is number => value !== null;

function line(points: Points, key: WayKey): PlotlyObject {
  const rows = points.filter((point) => point[key].value !== null);
  const full = key === 'effective';
  return {
    type: 'scatter',
    mode: 'lines+markers',
    x: rows.map(({ leadHours }) => leadHours),
    y: rows.map((point) => inPercent(point[key].value!)),
    line: { color: full ? INK : ACCENT, width: 2, dash: full ? 'solid' : 'dash' },
    marker: {
      symbol: full ? 'circle' : 'square',
      size: 9,
      color: full ? INK : PAPER,
      line: { color: full ? INK : ACCENT, width: 2 },
    },
    text: rows.map((point) => `${point.leadHours} h before, ${nameOf(key)}: ${measuredText(point[key])}`),
    hovertemplate: '%{text}<extra></extra>',
  };
}

function band(points: Points): readonly PlotlyObject[] {
  const rows = points.filter(({ effective }) => effective.i80.every(isNumber));
  if (rows.length === 0) return [];
  const xs = rows.map(({ leadHours }) => leadHours);
  const end = (at: 0 | 1) => rows.map(({ effective }) => inPercent(effective.i80[at]!));
  return [
    {
      type: 'scatter',
      mode: 'lines',
      x: [...xs, ...[...xs].reverse()],
      y: [...end(1), ...end(0).reverse()],
      line: { width: 0 },
      fill: 'toself',
      fillcolor: RULE,
      hoverinfo: 'skip',
    },
  ];
}

function bars(points: Points): readonly PlotlyObject[] {
  return points
    .filter((point) => point['one-reading'].i80.every(isNumber))
    .map(({ leadHours, 'one-reading': { i80 } }) => ({
      type: 'scatter',
      mode: 'lines',
      x: [leadHours, leadHours],
      y: i80.map((end) => inPercent(end!)),
      line: { color: ACCENT, width: 2 },
      hoverinfo: 'skip',
    }));
}

/** Each line's name in the widest stretch between two leads, where no interval stands, on its own side of the other line. */
function wayLabels(points: Points): readonly PlotlyObject[] {
  const stretches = points.slice(1).map((next, i) => [points[i]!, next] as const);
  const [from, to] = stretches.reduce(
    (best, next) => (next[1].leadHours - next[0].leadHours >= best[1].leadHours - best[0].leadHours ? next : best),
    stretches[0] ?? [points[0]!, points[0]!],
  );
  const height = (key: WayKey): number | null => {
    const ends = [from[key].value, to[key].value].filter(isNumber);
    return ends.length === 0 ? null : ends.reduce((sum, end) => sum + end, 0) / ends.length;
  };
  const gap = (height('effective') ?? 0) - (height('one-reading') ?? 0);
  return WAYS.flatMap(({ key, name }) => {
    const value = height(key);
    if (value === null) return [];
    const up = (key === 'effective') === gap >= 0;
    return [
      {
        x: (from.leadHours + to.leadHours) / 2,
        y: inPercent(value),
        xref: 'x',
        yref: 'y',
        yshift: up ? 16 : -16,
        text: name,
        showarrow: false,
        font: { size: 12, color: INK },
        bgcolor: VEIL,
      },
    ];
  });
}

function nameOf(key: WayKey): string {
  return WAYS.find((way) => way.key === key)!.name;
}

function leadAlt(points: Points): string {
  const said = (value: Measured) => measuredText(value);
  const rows = points.map(
    ({ leadHours, effective, 'one-reading': oneReading }) =>
      `${leadHours} h before: effective reading ${said(effective)}, one reading ${said(oneReading)}`,
  );
  return `Guesswork taken away when deciding earlier. ${rows.join('; ')}.`;
}

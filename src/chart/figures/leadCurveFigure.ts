import type { JudgedLeadCurve } from '../../judge/judgement.js';
import { shareWithI80 } from '../../series/format.js';
import { ACCENT, INK, PAPER, RULE } from '../palette.js';
import { bandBetween } from './bandLines.js';
import { axisStyle, axisTitle, figureOf, plotPx, type Figure, type PlotlyObject } from './figure.js';
import { lineTrace, markTrace, note, ON_LINE, ruleAcross } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

const MARGIN = { l: 58, r: 14, t: 14, b: 50 };
const HEIGHT = 300;
const WAYS = [
  { key: 'effective', name: 'effective reading' },
  { key: 'one-reading', name: 'one reading' },
] as const;
type WayKey = (typeof WAYS)[number]['key'];
type Points = JudgedLeadCurve['points'];

/**
 * How much of the guesswork the gauge takes away when one decides some hours before being on the water, both ways of reading,
 * with 80 % intervals: a grey band with a full line, and bars on a dashed line.
 *
 * @returns undefined where no point was measured.
 */
export function leadCurveFigure({ points }: Pick<JudgedLeadCurve, 'points'>): Figure | undefined {
  const rows = points.filter((point) => WAYS.some(({ key }) => point[key].value !== null));
  if (rows.length === 0) return undefined;
  const hours = rows.map(({ leadHours }) => leadHours);
  const all = rows
    .flatMap((point) => WAYS.flatMap(({ key }) => [point[key].value, ...point[key].i80]))
    .filter(isNumber);
  const from = Math.max(-1, Math.min(0, ...all)) - 0.04;
  const to = Math.min(1, Math.max(0.2, ...all)) + 0.06;
  const last = Math.max(...hours);
  const ends = (at: 0 | 1) => rows.map(({ effective }) => percentOrNull(effective.i80[at]));
  const data = [
    bandBetween(hours, { low: ends(0), high: ends(1), fill: RULE }),
    ...bars(rows),
    line(rows, 'one-reading'),
    line(rows, 'effective'),
  ];
  const title = 'guesswork taken away, %';
  return figureOf({ title: 'Deciding earlier', alt: leadAlt(rows) }, data, (narrow) => ({
    height: HEIGHT,
    margin: MARGIN,
    xaxis: axisStyle({
      range: [-0.04 * (last + 1), last + 0.04 * (last + 1)],
      tickvals: hours.filter(
        (hour, i) => i === 0 || ((hour - hours[i - 1]!) / (last + 1)) * plotPx(narrow, MARGIN) > 16,
      ),
      title: axisTitle(narrow ? 'decided before, h' : 'decided before being on the water, h'),
    }),
    yaxis: percentAxis({ from, to }, { px: HEIGHT - MARGIN.t - MARGIN.b, title, up: true }),
    shapes: [ruleAcross(0)],
    annotations: wayLabels(rows),
  }));
}

const isNumber = (value: number | null): value is number => value !== null;
const percentOrNull = (value: number | null) => (value === null ? null : inPercent(value));

function line(points: Points, key: WayKey): PlotlyObject {
  const rows = points.filter((point) => point[key].value !== null);
  const full = key === 'effective';
  const color = full ? INK : ACCENT;
  return markTrace(
    rows.map(({ leadHours }) => leadHours),
    rows.map((point) => inPercent(point[key].value!)),
    {
      mode: 'lines+markers',
      line: { color, width: 2, dash: full ? 'solid' : 'dash' },
      marker: { symbol: full ? 'circle' : 'square', size: 9, color: full ? INK : PAPER, line: { color, width: 2 } },
      text: rows.map((point) => `${point.leadHours} h before, ${nameOf(key)}: ${shareWithI80(point[key])}`),
    },
  );
}

function bars(points: Points): readonly PlotlyObject[] {
  return points
    .filter((point) => point['one-reading'].i80.every(isNumber))
    .map(({ leadHours, 'one-reading': { i80 } }) =>
      lineTrace([leadHours, leadHours], i80.map(percentOrNull), { color: ACCENT, width: 2 }),
    );
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
    const yshift = (key === 'effective') === gap >= 0 ? 16 : -16;
    return [note(name, { x: (from.leadHours + to.leadHours) / 2, y: inPercent(value), yshift, ...ON_LINE })];
  });
}

function nameOf(key: WayKey): string {
  return WAYS.find((way) => way.key === key)!.name;
}

function leadAlt(points: Points): string {
  const rows = points.map(
    (point) =>
      `${point.leadHours} h before: ${WAYS.map(({ key, name }) => `${name} ${shareWithI80(point[key])}`).join(', ')}`,
  );
  return `Guesswork taken away when deciding earlier. ${rows.join('; ')}.`;
}

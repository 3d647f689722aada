import type { JudgedLeadCurve } from '../../judge/judgement.js';
import { shareWithI80 } from '../../series/format.js';
import { INK, RULE } from '../palette.js';
import { bandBetween } from './bandLines.js';
import { axisStyle, axisTitle, figureOf, plotPx, type Figure } from './figure.js';
import { markTrace, ruleAcross } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

const MARGIN = { l: 58, r: 14, t: 14, b: 50 };
const HEIGHT = 300;

/**
 * How much of the guesswork the gauge takes away when one decides some hours before being on the water, with its 80 % interval as a band.
 * @returns undefined where no point was measured.
 */
export function leadCurveFigure({ points }: Pick<JudgedLeadCurve, 'points'>): Figure | undefined {
  const rows = points.filter(({ skill }) => skill.value !== null);
  if (rows.length === 0) return undefined;
  const hours = rows.map(({ leadHours }) => leadHours);
  const all = rows.flatMap(({ skill }) => [skill.value, ...skill.i80]).filter(isNumber);
  const from = Math.max(-1, Math.min(0, ...all)) - 0.04;
  const to = Math.min(1, Math.max(0.2, ...all)) + 0.06;
  const last = Math.max(...hours);
  const ends = (at: 0 | 1) => rows.map(({ skill }) => (skill.i80[at] === null ? null : inPercent(skill.i80[at])));
  const said = rows.map(({ leadHours, skill }) => `${leadHours} h before: ${shareWithI80(skill)}`);
  const data = [
    bandBetween(hours, { low: ends(0), high: ends(1), fill: RULE }),
    markTrace(
      hours,
      rows.map(({ skill }) => inPercent(skill.value!)),
      {
        mode: 'lines+markers',
        line: { color: INK, width: 2 },
        marker: { symbol: 'circle', size: 9, color: INK },
        text: said,
      },
    ),
  ];
  const alt = `Guesswork taken away when deciding earlier. ${said.join('; ')}.`;
  const title = 'guesswork taken away, %';
  return figureOf({ title: 'Deciding earlier', alt }, data, (narrow) => ({
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
    annotations: [],
  }));
}

const isNumber = (value: number | null): value is number => value !== null;

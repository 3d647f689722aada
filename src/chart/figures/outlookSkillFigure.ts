import { shareWithI80 } from '../../series/format.js';
import type { OutlookSkill } from '../day/outlookSkill.js';
import { RULE } from '../palette.js';
import { bandBetween, curveLine } from './bandLines.js';
import { axisStyle, axisTitle, figureOf, type Figure } from './figure.js';
import { note, ON_LINE, ruleAcross } from './marks.js';
import { inPercent, percentAxis } from './percentAxis.js';

const MARGIN = { l: 58, r: 14, t: 14, b: 50 };
const HEIGHT = 280;

/**
 * What outlooks took away of the guesswork by hours ahead, on years held out: against the season with its 80 % band, and against the class
 * staying as it is.
 */
export function outlookSkillFigure({ leads }: OutlookSkill): Figure {
  const hours = leads.map((lead) => lead.hours);
  const season = leads.map(({ againstSeason }) => againstSeason);
  const ends = [0, 1].map((end) => season.map(({ i80 }) => inPercent(i80[end]!))) as [number[], number[]];
  const [bySeason, byStay] = [season, leads.map(({ againstPersistence }) => againstPersistence)].map((gains) =>
    gains.map(({ value }) => inPercent(value)),
  ) as [number[], number[]];
  const from = Math.max(-1, Math.min(0, ...[...ends[0], ...byStay].map((p) => p / 100))) - 0.04;
  const alt = leads
    .map((lead) => `${lead.hours} h ahead: ${shareWithI80(lead.againstSeason)} against the season`)
    .join('; ');
  const data = [
    bandBetween(hours, { low: ends[0], high: ends[1], fill: RULE }),
    curveLine(hours, bySeason),
    curveLine(hours, byStay, { dashed: true, accent: true }),
  ];
  const said = { title: 'How far ahead an outlook is worth anything', alt: `${alt}.` };
  return figureOf(said, data, (narrow) => ({
    height: HEIGHT,
    margin: MARGIN,
    xaxis: axisStyle({ range: [0, 74], tickvals: narrow ? [12, 24, 48, 72] : hours, title: axisTitle('ahead, h') }),
    yaxis: percentAxis(
      { from, to: 1.02 },
      { px: HEIGHT - MARGIN.t - MARGIN.b, title: 'guesswork taken away, %', up: true },
    ),
    shapes: [ruleAcross(0)],
    annotations: [
      note('against the season', { x: hours[1] ?? 6, y: bySeason[1] ?? 0, xanchor: 'left', xshift: 10, ...ON_LINE }),
      note('against no change', { x: hours[1] ?? 6, y: byStay[1] ?? 0, xanchor: 'left', yshift: -16, ...ON_LINE }),
    ],
  }));
}

import type { JudgedObservers } from '../../judge/judgement.js';
import { dotRows } from './dotRows.js';
import { axisStyle, axisTitle, drawn, type Figure } from './figure.js';
import { lnPercentText } from './percentText.js';
import { shortList } from './shortList.js';

/** Rows drawn at most: those with the most sightings; the table has all. */
export const MOST_OBSERVERS = 20;
/** Marks of the axis as factors on the reading, from few to many. */
const MARKS: readonly (readonly number[])[] = [
  [0.8, 1, 1.25],
  [0.9, 1, 1.1],
  [0.5, 1, 2],
  [0.8, 0.9, 1, 1.1, 1.25],
  [0.5, 0.67, 0.8, 1, 1.25, 1.5, 2],
];

/**
 * Who reads high and who low: each observer's bias as a change of the reading, thick line 80 %, thin line 95 %.
 *
 * @param rows observers with their biases, ln units.
 * @returns undefined without observers.
 */
export function biasFigure({ rows: all }: Pick<JudgedObservers, 'rows'>): Figure | undefined {
  if (all.length === 0) return undefined;
  const rows = [...all].sort((a, b) => b.sightings - a.sightings).slice(0, MOST_OBSERVERS);
  const most = Math.max(0.12, ...rows.flatMap(({ bias95 }) => bias95.map(Math.abs)));
  const range = [-1.06 * most, 1.06 * most] as const;
  return {
    kind: 'figure',
    title: 'Who reads high and who low',
    alt: biasAlt(rows, all.length),
    ...dotRows(
      [
        {
          rows: rows.map(({ observer, biasMedian, bias80, bias95 }) => ({
            label: observer,
            value: biasMedian,
            i80: bias80,
            i95: bias95,
            says: `${lnPercentText(biasMedian)} (${lnPercentText(bias80[0])} to ${lnPercentText(bias80[1])})`,
            mark: bias80[0] > 0 || bias80[1] < 0 ? ('full' as const) : ('hollow' as const),
          })),
        },
      ],
      {
        axis: (px, narrow) => {
          const marks = marksFor(range[1], px);
          return axisStyle({
            range,
            tickvals: marks.map(drawn),
            ticktext: marks.map(lnPercentText),
            title: axisTitle(
              narrow ? 'bias, % of the reading' : 'calls the water lower ← bias, % of the reading → calls it higher',
            ),
          });
        },
        range,
        zero: { at: 0, label: 'like the others' },
      },
    ),
  };
}

/** As many marks as have room on an axis from -reach to reach. */
function marksFor(reach: number, px: number): readonly number[] {
  const sets = MARKS.map((factors) => factors.map(Math.log).filter((ln) => Math.abs(ln) <= reach)).filter((marks) =>
    marks.every((mark, i) => i === 0 || ((mark - marks[i - 1]!) / (2 * reach)) * px > 46),
  );
  return sets.reduce((best, marks) => (marks.length > best.length ? marks : best), [0]);
}

function biasAlt(rows: JudgedObservers['rows'], all: number): string {
  const parts = rows.map(
    ({ observer, biasMedian, bias80 }) =>
      `${observer} ${lnPercentText(biasMedian)} (80 %: ${lnPercentText(bias80[0])} to ${lnPercentText(bias80[1])})`,
  );
  const more = all > rows.length ? ` ${all - rows.length} with fewer sightings are in the table only.` : '';
  return `Bias of each observer as a change of the reading; above zero: calls the same water higher. ${shortList(parts, { most: 750 })}.${more}`;
}

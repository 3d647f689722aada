import type { JudgedObservers } from '../../judge/judgement.js';
import { lnShare } from '../../series/format.js';
import { dotRows } from './dotRows.js';
import { axisTitle, type Figure } from './figure.js';
import { changeAxis } from './percentAxis.js';
import { shortList } from './shortList.js';

/** Rows drawn at most: those with the most sightings; the table has all. */
export const MOST_OBSERVERS = 20;

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
  const dots = rows.map(({ observer, biasMedian, bias80, bias95 }) => ({
    label: observer,
    value: biasMedian,
    i80: bias80,
    i95: bias95,
    says: `${lnShare(biasMedian)} (${lnShare(bias80[0])} to ${lnShare(bias80[1])})`,
    mark: bias80[0] > 0 || bias80[1] < 0 ? ('full' as const) : ('hollow' as const),
  }));
  return dotRows([{ rows: dots }], {
    title: 'Who reads high and who low',
    alt: biasAlt(rows, all.length),
    axis: (px, narrow) => {
      const all = 'calls the water lower ← bias, % of the reading → calls it higher';
      return changeAxis(range[1], { px, room: 46, title: axisTitle(narrow ? 'bias, % of the reading' : all) });
    },
    range,
    zero: { at: 0, label: 'like the others' },
  });
}

function biasAlt(rows: JudgedObservers['rows'], all: number): string {
  const parts = rows.map(
    ({ observer, biasMedian, bias80: [low, high] }) =>
      `${observer} ${lnShare(biasMedian)} (80 %: ${lnShare(low)} to ${lnShare(high)})`,
  );
  const more = all > rows.length ? ` ${all - rows.length} with fewer sightings are in the table only.` : '';
  return (
    'Bias of each observer as a change of the reading; above zero: calls the same water higher. ' +
    `${shortList(parts, { most: 750 })}.${more}`
  );
}

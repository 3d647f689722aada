import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import type { DotRow } from './dotRows.js';
import type { Figure } from './figure.js';
import { shortList } from './shortList.js';
import { skillRows } from './skillRows.js';

const MARKS = { single: 'full', derived: 'square', combined: 'hollow' } as const;

/** A long list is cut: below the tenth nothing is chosen. */
const MOST_ROWS = 10;

/**
 * The gauges of a run in order of their skill on floods left out, a dot on its 80 % interval; those that only confirm stand apart. Single, derived and combined gauges
 * have marks of their own.
 *
 * @param ranking from `rankGauges`. @returns undefined where nothing was ranked.
 */
export function rankingFigure(ranking: GaugeRanking): Figure | undefined {
  const groups = [
    { heading: 'read before going', rows: rowsOf(ranking.warning) },
    { heading: 'only confirm afterwards', rows: rowsOf(ranking.confirming) },
  ].filter(({ rows }) => rows.length > 0);
  if (groups.length === 0) return undefined;
  return {
    kind: 'figure',
    title: 'Gauges by skill on floods left out',
    alt: altOf(ranking),
    ...skillRows(groups),
  };
}

function rowsOf(list: readonly RankedGauge[]): readonly DotRow[] {
  // The only one of a list is its best in any case.
  return list.slice(0, MOST_ROWS).map((one) => rowOf(one, { others: list.length > 1 }));
}

function rowOf({ rank, name, kind, skill, best }: RankedGauge, { others }: { others: boolean }): DotRow {
  const [low, high] = skill.againstFrequencies.i80;
  return {
    label: `${rank}. ${name}`,
    value: 100 * (skill.againstFrequencies.value ?? NaN),
    i80: [low === null ? null : 100 * low, high === null ? null : 100 * high],
    says: `${whole(skill.againstFrequencies.value ?? NaN)}${others ? `, best in ${whole(best)}` : ''}`,
    mark: MARKS[kind],
  };
}

function whole(share: number): string {
  const percent = Math.round(100 * share);
  return `${percent === 0 ? 0 : percent} %`.replace('-', '−');
}

function altOf({ warning, confirming, choice, visits, floods }: GaugeRanking): string {
  const list = (rows: readonly RankedGauge[]): string =>
    shortList(
      rows.slice(0, MOST_ROWS).map(({ name, skill }) => {
        const [low, high] = skill.againstFrequencies.i80;
        const range = low === null || high === null ? '' : ` (${whole(low)} to ${whole(high)})`;
        return `${name} ${whole(skill.againstFrequencies.value ?? NaN)}${range}`;
      }),
      { most: 200, between: ', ' },
    );
  const parts = [
    warning.length > 0 ? `Read before going, best first: ${list(warning)}.` : '',
    confirming.length > 0 ? `Only confirm afterwards: ${list(confirming)}.` : '',
  ].filter((part) => part !== '');
  return `Guesswork that each gauge takes away on floods left out, over ${visits} visits and ${floods} floods that all share, with 80 % intervals. ${parts.join(' ')} ${choice.sentence}`;
}

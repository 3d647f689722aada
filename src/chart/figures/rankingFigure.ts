import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import { share, shareWithI80 } from '../../series/format.js';
import type { DotRow } from './dotRows.js';
import type { Figure } from './figure.js';
import { shortList } from './shortList.js';
import { skillRow, skillRows } from './skillFigure.js';

const MARKS = { single: 'full', derived: 'square', combined: 'hollow' } as const;

/** A long list is cut: below the tenth nothing is chosen. */
const MOST_ROWS = 10;

/**
 * The gauges of a run in order of their skill on floods left out, a dot on its 80 % interval; those that only confirm stand apart. Single,
 * derived and combined gauges have marks of their own.
 *
 * @param ranking from `rankGauges`. @returns undefined where nothing was ranked.
 */
export function rankingFigure(ranking: GaugeRanking): Figure | undefined {
  const groups = [
    { heading: 'read before going', rows: rowsOf(ranking.warning) },
    { heading: 'only confirm afterwards', rows: rowsOf(ranking.confirming) },
  ].filter(({ rows }) => rows.length > 0);
  if (groups.length === 0) return undefined;
  return skillRows(groups, { title: 'Gauges by skill on floods left out', alt: altOf(ranking) });
}

function rowsOf(list: readonly RankedGauge[]): readonly DotRow[] {
  return list.slice(0, MOST_ROWS).map(({ rank, name, kind, skill: { againstFrequencies: skill }, best }) => {
    // The only one of a list is its best in any case.
    const says = `${share(skill.value)}${list.length > 1 ? `, best in ${share(best)}` : ''}`;
    return skillRow({ ...skill, value: skill.value ?? NaN }, { label: `${rank}. ${name}`, mark: MARKS[kind], says });
  });
}

function altOf({ warning, confirming, choice, visits, floods }: GaugeRanking): string {
  const list = (rows: readonly RankedGauge[]): string =>
    shortList(
      rows.slice(0, MOST_ROWS).map(({ name, skill }) => `${name} ${shareWithI80(skill.againstFrequencies)}`),
      { most: 200, between: ', ' },
    );
  const parts = [
    ...(warning.length > 0 ? [`Read before going, best first: ${list(warning)}.`] : []),
    ...(confirming.length > 0 ? [`Only confirm afterwards: ${list(confirming)}.`] : []),
  ];
  return (
    `Guesswork that each gauge takes away on floods left out, over ${visits} visits and ${floods} floods that ` +
    `all share, with 80 % intervals. ${parts.join(' ')} ${choice.sentence}`
  );
}

import type { JudgedScores, Way, WayScore } from '../../judge/judgement.js';
import { shareWithI80 } from '../../series/format.js';
import { dotRows, type DotGroup, type DotRow } from './dotRows.js';
import type { Figure } from './figure.js';
import { percentAxis } from './percentAxis.js';

/** The ways of deciding, in words. */
export const WAY_WORDS: Readonly<Record<Way, string>> = Object.freeze({
  effective: 'effective reading',
  'one-reading': 'one reading',
  'as-it-stands': 'gauge as it stands',
});

const MARKS = { effective: 'full', 'one-reading': 'hollow', 'as-it-stands': 'square' } as const;
type Baseline = keyof WayScore['skill'];
const BASELINES: readonly { readonly key: Baseline; readonly heading: string }[] = [
  { key: 'againstFrequencies', heading: 'against how often each class was logged' },
  { key: 'againstMonth', heading: 'against the month' },
  { key: 'againstNoLag', heading: 'against the gauge as it stands, no lag' },
];

/**
 * The share of the guesswork that each way of deciding takes away, on floods left out, against each of three baselines; a dot
 * on its 80 % interval.
 *
 * @param scores ways of deciding with their skills.
 * @returns undefined where no skill was measured.
 */
export function skillFigure({ ways }: Pick<JudgedScores, 'ways'>): Figure | undefined {
  const groups = BASELINES.map(({ key, heading }) => ({
    heading,
    rows: ways.flatMap((way) => {
      const skill = way.skill[key];
      if (skill === null || skill.value === null) return [];
      return [skillRow({ ...skill, value: skill.value }, { label: WAY_WORDS[way.way], mark: MARKS[way.way] })];
    }),
  })).filter(({ rows }) => rows.length > 0);
  if (groups.length === 0) return undefined;
  return skillRows(groups, { title: 'Skill on floods left out', alt: skillAlt(ways) });
}

/** One skill (a share) as a row in percent. */
export function skillRow(
  skill: { readonly value: number; readonly i80: DotRow['i80'] },
  { says = shareWithI80(skill), ...row }: Pick<DotRow, 'label' | 'mark'> & { readonly says?: string },
): DotRow {
  const end = (value: number | null) => (value === null ? null : 100 * value);
  return { value: 100 * skill.value, i80: [end(skill.i80[0]), end(skill.i80[1])], says, ...row };
}

/**
 * Rows of skills in percent on the one axis that all figures of skill share: the guesswork taken away, from no better than guessing to
 * always right. Far below zero all are equally useless: the axis shows the part where it matters.
 */
export function skillRows(groups: readonly DotGroup[], said: Pick<Figure, 'title' | 'alt'>): Figure {
  const ends = groups
    .flatMap(({ rows }) => rows.flatMap(({ value, i80 }) => [value, ...i80]))
    .filter((end): end is number => end !== null);
  const from = Math.max(-100, Math.min(-5, ...ends.map((end) => end - 4)));
  const to = Math.min(103, Math.max(40, ...ends) + 6);
  return dotRows(groups, {
    ...said,
    axis: (px, narrow) => {
      const title = narrow ? 'guesswork taken away, %' : 'guesswork taken away, % (100: always right)';
      return percentAxis({ from: from / 100, to: to / 100 }, { px, title });
    },
    range: [from, to],
    zero: { at: 0, label: 'no better' },
  });
}

function skillAlt(ways: JudgedScores['ways']): string {
  const rows = ways.flatMap((way) => {
    const parts = BASELINES.flatMap(({ key, heading }) => {
      const skill = way.skill[key];
      return skill === null || skill.value === null ? [] : [`${heading} ${shareWithI80(skill)}`];
    });
    return parts.length === 0 ? [] : [`${WAY_WORDS[way.way]}: ${parts.join(', ')}`];
  });
  return `Guesswork taken away on floods left out, with 80 % intervals. ${rows.join('; ')}.`;
}

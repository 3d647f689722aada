import type { JudgedScores, Way, WayScore } from '../../judge/judgement.js';
import type { DotRow } from './dotRows.js';
import type { Figure } from './figure.js';
import { measuredText } from './percentText.js';
import { skillRows } from './skillRows.js';

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
    rows: ways.flatMap((way): readonly DotRow[] => {
      const skill = way.skill[key];
      if (skill === null || skill.value === null) return [];
      return [
        {
          label: WAY_WORDS[way.way],
          value: 100 * skill.value,
          i80: [times100(skill.i80[0]), times100(skill.i80[1])],
          says: measuredText(skill),
          mark: MARKS[way.way],
        },
      ];
    }),
  })).filter(({ rows }) => rows.length > 0);
  if (groups.length === 0) return undefined;
  return {
    kind: 'figure',
    title: 'Skill on floods left out',
    alt: skillAlt(ways),
    ...skillRows(groups),
  };
}

function times100(end: number | null): number | null {
  return end === null ? null : 100 * end;
}

function skillAlt(ways: JudgedScores['ways']): string {
  const rows = ways.flatMap((way) => {
    const parts = BASELINES.flatMap(({ key, heading }) => {
      const skill = way.skill[key];
      return skill === null || skill.value === null ? [] : [`${heading} ${measuredText(skill)}`];
    });
    return parts.length === 0 ? [] : [`${WAY_WORDS[way.way]}: ${parts.join(', ')}`];
  });
  return `Guesswork taken away on floods left out, with 80 % intervals. ${rows.join('; ')}.`;
}

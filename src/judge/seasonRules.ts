import type { SeasonSkill } from './skillAgainstSeason.js';
import { THRESHOLDS as T } from './thresholds.js';
import type { TrustRule } from './trustRule.js';
import type { Grade } from './types.js';
import { share } from '../series/format.js';

/** What the gauge must know beyond the season; no rows where that was not asked or can't be worked out. */
export function seasonRules(
  againstSeason: SeasonSkill | null | undefined,
  {
    cap,
    open,
  }: {
    /** The best grade when they fail, and whether the skill's intervals leave it open if the gauge is of use. */
    cap: Grade;
    open: boolean;
  },
): readonly TrustRule[] {
  if (!againstSeason) return [];
  const { value, i90 } = againstSeason;
  const fails = open
    ? 'The log is too small to tell whether this gauge knows more than the season.'
    : `Beyond what it usually reads at that time of the year, the gauge takes away ${share(value)} of the guesswork, which rivers that share only the season reach by luck.`;
  return [
    {
      check: 'skill against the usual reading of the season, low end of 90 %',
      statistic: i90[0],
      operator: '>',
      threshold: T.skillSeasonLow,
      unit: '',
      comment: "95 % sure that the day's own reading tells more than the median of that fortnight over the years",
      cap,
      fails,
    },
    {
      check: 'skill against the usual reading of the season',
      statistic: value,
      operator: '>=',
      threshold: T.skillSeason,
      unit: '',
      comment: 'a tenth of the guesswork that the season leaves; rivers that share only the season rarely reach it',
      cap,
      fails,
    },
  ];
}

import { fitLevels } from '../../src/fit/fitLevels.js';
import { GRADES } from '../../src/judge/grade.js';
import { verdictRankCorrelation } from '../../src/judge/verdictRankCorrelation.js';
import { firstScores } from '../../src/judge/firstScores.js';
import { gradeWays } from '../../src/judge/gradeWays.js';
import { chosenWay, waysOfReading } from '../../src/judge/waysOfReading.js';
import type { Grade } from '../../src/judge/types.js';
import { createRandom, splitSeed } from '../../src/kernel/random.js';
import { seasonWorld, type Season } from './seasonWorld.js';

const SEASONS: readonly Season[] = ['snowmelt', 'monsoon'];
const LEAST_VISITS = 25;
const MOST_VISITS = 80;

export interface SeasonTally {
  readonly cases: number;
  /** Cases with each grade, lowest grade first. */
  readonly grades: Readonly<Record<Grade, number>>;
  /** Rough guide or better, of all and by season and length of the log. */
  readonly usable: number;
  readonly usableBy: Readonly<Record<string, { readonly cases: number; readonly usable: number }>>;
  /** Mean rank correlation of verdict and reading: what a look at the whole log would call a relation; and without the season. */
  readonly meanRankCorrelation: number;
  readonly meanRankCorrelationWithoutSeason: number;
  readonly meanSkillAgainstFrequencies: number;
  readonly meanSkillAgainstMonth: number;
}

/** Judges `cases` logs against a gauge that shares nothing but the season: 25 to 80 visits in one to four years, both ways of reading. */
export function tallySeasons(
  cases: number,
  { firstSeed, draws = 500, onCase }: { firstSeed: number; draws?: number; onCase?: (done: number) => void },
): SeasonTally {
  const grades = Object.fromEntries(GRADES.map((g) => [g, 0])) as Record<Grade, number>;
  const usableBy: Record<string, { cases: number; usable: number }> = {};
  let whole = 0;
  let withoutSeason = 0;
  let usable = 0;
  let frequencies = 0;
  let month = 0;
  for (let c = 0; c < cases; c++) {
    const seed = firstSeed + c;
    const random = createRandom(splitSeed(seed, 'log'));
    const season = SEASONS[c % SEASONS.length];
    const visits = LEAST_VISITS + random.integer(MOST_VISITS - LEAST_VISITS + 1);
    const years = 1 + random.integer(4);
    const { aligned, record } = seasonWorld({ season, seed, visits, years });
    const fits = fitLevels(aligned, { modes: ['effective', 'one-reading'], draws, seed });
    const ways = waysOfReading(aligned, fits, { seed });
    const { grade } = gradeWays(aligned, {
      ways,
      againstSeason: firstScores({ record, aligned, fits }, { seed }).againstSeason,
    });
    const skill = chosenWay(ways)?.skill;
    grades[grade]++;
    const isUsable = GRADES.indexOf(grade) >= GRADES.indexOf('rough guide') ? 1 : 0;
    usable += isUsable;
    for (const key of [season, years === 1 ? '1 year' : `${years} years`]) {
      usableBy[key] ??= { cases: 0, usable: 0 };
      usableBy[key].cases++;
      usableBy[key].usable += isUsable;
    }
    const pair = verdictRankCorrelation(aligned, { record });
    whole += pair.whole / cases;
    withoutSeason += pair.withoutSeason / cases;
    frequencies += (skill?.againstFrequencies.value ?? 0) / cases;
    month += (skill?.againstMonth.value ?? 0) / cases;
    onCase?.(c + 1);
  }
  return {
    cases,
    grades,
    usable,
    usableBy,
    meanRankCorrelation: whole,
    meanRankCorrelationWithoutSeason: withoutSeason,
    meanSkillAgainstFrequencies: frequencies,
    meanSkillAgainstMonth: month,
  };
}

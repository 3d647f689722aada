import { goodClasses } from './goodClasses.js';
import { GRADES } from './grade.js';
import type { Judgement } from './judgement.js';
import { THRESHOLDS } from './thresholds.js';
import type { TrustCheck } from './types.js';

/** Sentences that are given at most. */
export const MOST_SENTENCES = 3;

/**
 * What would make a relation better, at most three plain sentences, most useful first: what the failed checks ask for, the next best look,
 * then what is missing in the log.
 */
export function improveSentences({
  grade,
  checks,
  classes,
  evidence,
  nextLook,
  leadHours,
}: Pick<Judgement, 'grade' | 'checks' | 'classes' | 'evidence' | 'nextLook' | 'leadHours'>): readonly string[] {
  const advice = checks
    .filter(({ pass }) => !pass)
    .flatMap((check) => adviceFor(check, { grade, classes, evidence, leadHours }));
  const look = nextLook?.looks.slice(0, 1).map(({ sentence }) => sentence) ?? [];
  const usable = GRADES.indexOf(grade) >= GRADES.indexOf('rough guide');
  // Below a rough guide the log itself is the matter; where a look sharpens an edge of a useless gauge, nobody is helped.
  const ordered =
    grade === 'no usable relation'
      ? advice
      : usable
        ? [...look, ...advice, ...evidence.missing]
        : [...advice, ...evidence.missing, ...look];
  return [...new Set(ordered)].slice(0, MOST_SENTENCES);
}

/** What a failed check asks for; nothing where no visit would mend it, or where what is missing says it already. */
function adviceFor(
  { id, statistic, threshold }: TrustCheck,
  { grade, classes, evidence, leadHours }: Pick<Judgement, 'grade' | 'classes' | 'evidence' | 'leadHours'>,
): readonly string[] {
  const lacking = Math.ceil(threshold - (statistic ?? 0));
  if (grade === 'no usable relation')
    return id.startsWith('skill-')
      ? [
          leadHours > 0
            ? 'Decide later: a gauge that says nothing so many hours ahead may still say much on the day.'
            : 'Try another gauge, or a sum or difference of two: more visits will not make this one know the creek.',
        ]
      : [];
  switch (id) {
    case 'verdicts':
      return [`Log ${lacking} more ${lacking === 1 ? 'visit' : 'visits'} with a verdict; ${threshold} are the least.`];
    case 'floods':
      return [
        `Log ${lacking} more ${lacking === 1 ? 'flood' : 'floods'}: one visit each on new floods beats many on the same.`,
      ];
    case 'span':
      return ['Go on logging through another spell of weather.'];
    case 'span-fair':
      return ['Go on logging into another season.'];
    case 'contrast':
      return [contrastAdvice(classes, evidence)];
    case 'lag-worth':
      return ['Log exact times, most of all while the water rises or falls fast: they pin the lag.'];
    case 'verdicts-good':
      return [
        `Log ${lacking} more ${lacking === 1 ? 'visit' : 'visits'} with a verdict: a good guide asks for ${THRESHOLDS.verdictsGood}.`,
      ];
    case 'floods-good':
      return [
        `Log ${lacking} more ${lacking === 1 ? 'flood' : 'floods'}: a good guide asks for ${THRESHOLDS.floodsGood}.`,
      ];
    default:
      return [];
  }
}

/** Where everything logged is one class, the days of the other ones are wanted; which depends on where that class stands. */
function contrastAdvice(classes: readonly string[], { classCounts }: Judgement['evidence']): string {
  const commonest = classCounts.reduce((best, count, k) => (count > classCounts[best] ? k : best), 0);
  const [low] = goodClasses(classes);
  return commonest < low
    ? 'Log days when it runs, too: nearly all verdicts say it is too little.'
    : 'Log the days it did not go, too: an edge needs both of its sides.';
}

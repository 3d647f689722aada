import { goodClasses } from '../judge/goodClasses.js';
import { counted, day, shareWithI80 } from '../series/format.js';
import { seasonWords } from './answerWords.js';
import { endsIn, inBoth } from './levelRows.js';
import type { AnswerReading, RunAnswer } from './runAnswer.js';

/** The good range and where it is sure: `good: 2.6 to 7 m³/s (91.8 to 247 ft³/s); sure from …`. */
export function goodText(reading: AnswerReading): string {
  const { words, from, to } = goodRange(reading);
  const [good, other] = endsIn(reading, [from, to]);
  const sure = reading.sureGood === null ? undefined : endsIn(reading, reading.sureGood);
  return `${words}: ${good} (${other})${sure === undefined ? '; nowhere sure' : `; sure from ${sure[0]} (${sure[1]})`}`;
}

/** The good classes of a reading: their words, their place among all, their ends. */
export function goodRange({ classes }: AnswerReading) {
  const [low, high] = goodClasses(classes.map(({ word }) => word));
  const words = classes.slice(low, high + 1).map(({ word }) => word);
  return { low, words: words.join(', '), from: classes[low]!.from, to: classes[high]!.to };
}

/** What the answer stands on. */
export function evidenceText(
  { reading, higher, visits, floods, lastVisitMs, season }: RunAnswer,
  timeZone: string,
): string {
  const often = seasonWords(season);
  const known = higher !== null && higher.value !== null;
  return [
    ...(often === '' ? [] : [often]),
    `${counted(visits, 'visit')} in ${counted(floods, 'flood')}, the last on ${day(lastVisitMs, timeZone)}.`,
    ...(known ? [`On floods left out the creek was higher than said on ${shareWithI80(higher)} of the visits.`] : []),
    ...(reading === null
      ? []
      : [`Not seen above ${inBoth(reading, reading.seen[1])} or below ${inBoth(reading, reading.seen[0])}.`]),
  ].join(' ');
}

const STEPS = { 'good guide': 3, 'fair guide': 2, 'rough guide': 1, 'too thin': 0, 'no usable relation': 0 };

/** How many of three steps a grade has reached. */
export function stepsOf(grade: RunAnswer['grade']): number {
  return STEPS[grade];
}

import { hoursInWords } from '../../../series/format.js';
import type { Judgement } from '../../../judge/judgement.js';
import { sentence } from '../sentence.js';
import type { Panel } from '../panel.js';

/** Which reading a rule means, in a sentence: a rule on a reading that nobody takes is a wrong rule. Empty without rules. */
export function howReadForRule({ levels }: Pick<Panel, 'levels'>, { rules }: Judgement): string {
  if (rules === null) return '';
  const level = levels[0]?.level;
  if (level !== undefined) return `The reading that the rule means: ${sentence(level.howToRead)}`;
  const { lagHours } = rules.reading;
  return `The rule means the reading ${lagHours === 0 ? 'of the moment' : `${hoursInWords(lagHours)} before`}.`;
}

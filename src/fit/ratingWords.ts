import { figures, fixed } from '../series/format.js';
import type { RatingForm } from './types.js';
import {
  GROWING_LOG_BAYES_FACTOR,
  MIN_READINGS_FOR_BREAK,
  MIN_READINGS_FOR_POWER,
  type RatingEvidence,
} from './ratingForm.js';

/** Beyond this nobody minds how many times. */
const MANY = 1000;

/**
 * Why a numeric feature is read by this form, and with this noise, a plain sentence each.
 *
 * @param form as taken. @param evidence how it was chosen; undefined for a fit that took the choice over from another.
 */
export function ratingWords(
  form: RatingForm,
  evidence: RatingEvidence | undefined,
): { readonly formSentence: string; readonly noiseSentence: string } {
  if (evidence === undefined)
    return {
      formSentence: `Read ${FORMS[form]}, as in the fit of all visits.`,
      noiseSentence:
        `The scatter ${form === 'growing' ? 'grows with the height' : 'is the same at all heights'}, as in the ` +
        'fit of all visits.',
    };
  const { readings, powerOverLine, growingOverConstant, breakOverOne } = evidence;
  if (readings >= MIN_READINGS_FOR_POWER && !(powerOverLine === powerOverLine))
    return {
      formSentence: `Read ${FORMS[form]}: its readings give nothing to compare forms by.`,
      noiseSentence: 'The scatter is taken as the same at all heights: its readings give nothing to compare by.',
    };
  const few = `${readings} ${readings === 1 ? 'reading is' : 'readings are'} too few to tell (${MIN_READINGS_FOR_POWER} are needed)`;
  const tried = readings >= MIN_READINGS_FOR_POWER;
  return {
    formSentence: !tried
      ? `Read as a straight line in ln flow: ${few} where it would read no flow.`
      : form === 'segments'
        ? `Read as two power laws that meet at a break: the visits make it ${times(breakOverOne)} likelier than one.`
        : form === 'line'
          ? `Read as a straight line in ln flow: the visits make it ${times(-powerOverLine)} likelier than a power ` +
            `law with an offset.${breakWords(evidence)}`
          : `Read as a power law with an offset: the visits make it ${times(powerOverLine)} likelier than a straight ` +
            `line in ln flow.${breakWords(evidence)}`,
    noiseSentence: !tried
      ? `The scatter is taken as the same at all heights: ${few}.`
      : form === 'segments'
        ? 'Beside a break the scatter is taken as the same at all heights.'
        : form === 'growing'
          ? `The scatter grows with the height above no flow: the visits make that ${times(growingOverConstant)} ` +
            'likelier than the same scatter at all heights.'
          : growingOverConstant > 0
            ? 'The scatter is taken as the same at all heights: that it grows with the height is ' +
              `${times(growingOverConstant)} likelier, and ${times(GROWING_LOG_BAYES_FACTOR)} is asked for.`
            : `The scatter is taken as the same at all heights: the visits make that ${times(-growingOverConstant)} ` +
              'likelier than a scatter that grows with the height.',
  };
}

const FORMS: Readonly<Record<RatingForm, string>> = {
  power: 'as a power law with an offset',
  growing: 'as a power law with an offset',
  line: 'as a straight line in ln flow',
  segments: 'as two power laws that meet at a break',
};

/** What is said of a break that was not taken. */
function breakWords({ breakOverOne, readings }: RatingEvidence): string {
  if (readings < MIN_READINGS_FOR_BREAK)
    return ` Whether the curve breaks anywhere needs ${MIN_READINGS_FOR_BREAK} readings.`;
  return breakOverOne > 0
    ? ` That it breaks somewhere is ${times(breakOverOne)} likelier, and ${times(GROWING_LOG_BAYES_FACTOR)} is asked for.`
    : ' It breaks nowhere that the visits show.';
}

/** `20 times`: e to this power, to two digits. */
function times(lnFactor: number): string {
  const factor = Math.exp(lnFactor);
  if (!(factor < MANY)) return `more than ${MANY} times`;
  return `${factor < 10 ? fixed(factor, 1) : figures(factor, 2)} times`;
}

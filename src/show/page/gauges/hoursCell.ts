import type { Estimate } from '../../../chart/types.js';
import { hoursText } from '../../text/gaugeTexts.js';
import { interval } from '../details.js';

/** Hours as a number with a true minus. */
export function hoursNumber(hours: number): string {
  return hoursText(hours).replace('-', '−');
}

/** Hours with their 80 % interval, without the unit; a word where there is none. */
export function hoursCell(estimate: Estimate | null): string {
  return estimate === null ? 'unknown' : `${hoursNumber(estimate.median)} (${interval(estimate.i80, hoursNumber)})`;
}

import type { Estimate } from '../../../chart/types.js';
import { hoursEstimate } from '../../text/gaugeTexts.js';

/** Hours with their 80 % interval and true minuses; a word where there is none. */
export function hoursCell(estimate: Estimate | null): string {
  return estimate === null ? 'unknown' : hoursEstimate(estimate).replace(/(^|[ (])-/g, '$1−');
}

import { figures } from '../../series/format.js';

export { groupDigits } from '../../series/groupDigits.js';

/** A value to about three significant figures. @example valueText(12345.6) // '12 300' */
export function valueText(value: number, { digits = 3 }: { digits?: number } = {}): string {
  return figures(value, digits);
}

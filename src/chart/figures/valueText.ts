import { groupDigits } from '../../series/groupDigits.js';

export { groupDigits };

/**
 * A gauge value for an axis or a sentence: about three digits, no exponent, thousands apart from 10 000 on.
 * @example valueText(12345.6) // '12 300'
 */
export function valueText(value: number, { digits = 3 }: { digits?: number } = {}): string {
  if (!Number.isFinite(value)) return 'none';
  if (value === 0) return '0';
  const power = Math.floor(Math.log10(Math.abs(value)));
  const decimals = Math.max(0, digits - 1 - power);
  const step = 10 ** (power - digits + 1);
  const rounded = step > 1 ? Math.round(value / step) * step : value;
  const text = rounded.toFixed(Math.min(decimals, 6));
  return groupDigits(text.includes('.') ? text.replace(/\.?0+$/, '') : text);
}

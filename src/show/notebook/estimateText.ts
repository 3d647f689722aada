import type { Estimate } from '../../chart/types.js';

/** `1.2 (0.9 to 1.6)`: median and 80 % interval, for tables and sentences. */
export function estimateText({ median, i80 }: Estimate, { digits = 2 }: { digits?: number } = {}): string {
  const end = (value: number | null) => (value === null ? 'open' : fixedText(value, digits));
  return `${fixedText(median, digits)} (${end(i80[0])} to ${end(i80[1])})`;
}

/** Fixed digits, and no minus before a zero. */
export function fixedText(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

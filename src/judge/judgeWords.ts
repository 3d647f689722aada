import type { Measured } from './floodRatios.js';
import { sharePercent } from './trustRules.js';

/**
 * A measured share in words: `68 % (55 to 79)`; without an interval the share alone.
 * @example measuredPercent({ value: 0, i80: [0, 0.21] }) // '0 % (0 to 21)'
 */
export function measuredPercent({ value, i80: [from, to] }: Measured): string {
  if (value === null) return 'unknown';
  const range = from === null || to === null ? '' : ` (${Math.round(from * 100)} to ${Math.round(to * 100)})`;
  return `${sharePercent(value)}${range}`;
}

/** `1 visit`, `3 visits`, `2.5 visits`. */
export function counted(n: number, noun: string): string {
  const text = Number.isInteger(n) ? String(n) : n.toFixed(1);
  return `${text} ${n === 1 ? noun : `${noun}s`}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

export const MONTHS: readonly string[] = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
];

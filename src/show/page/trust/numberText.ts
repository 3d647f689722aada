import type { Measured } from '../../../judge/floodRatios.js';

/** A measured number that is no share, with its 80 % interval: `0.081 (0.070 to 0.092)`. */
export function numberText({ value, i80: [from, to] }: Measured, { digits }: { digits: number }): string {
  if (value === null) return 'unknown';
  const show = (number: number) => fixed(number, digits);
  if (from === null && to === null) return show(value);
  return `${show(value)} (${from === null ? 'open' : show(from)} to ${to === null ? 'open' : show(to)})`;
}

/** A number to some digits with a true minus; never a minus before zero. */
export function fixed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** A number of verdicts, which may be shared between people: `3`, `2.5`. */
export function countText(count: number): string {
  return Number.isInteger(count) ? String(count) : count.toFixed(1);
}

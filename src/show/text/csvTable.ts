import { csvCell } from '../escape.js';
import { plainText } from './plainText.js';

export type CsvValue = string | number | boolean | null | undefined;

/** A table as CSV text: numbers unrounded, nothing for null and NaN, texts cleaned of controls and kept from acting as formulas. */
export function csvTable(header: readonly string[], rows: readonly (readonly CsvValue[])[]): string {
  return [header, ...rows].map((row) => `${row.map(cell).join(',')}\n`).join('');
}

function cell(value: CsvValue): string {
  if (typeof value === 'string') return csvCell(plainText(value));
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  return value === null || value === undefined ? '' : String(value);
}

import { csvCell } from '../escape.js';
import { plainText } from './plainText.js';

export type CsvValue = string | number | boolean | null | undefined;

/**
 * A table as CSV text: numbers unrounded, nothing for null and NaN, texts cleaned of controls and kept from acting as formulas.
 * @param options.decimal `comma` writes 1,5 and puts semicolons between cells. Default 'point'.
 */
export function csvTable(
  header: readonly string[],
  rows: readonly (readonly CsvValue[])[],
  { decimal = 'point' }: { decimal?: 'point' | 'comma' } = {},
): string {
  const [mark, between] = decimal === 'comma' ? [',', ';'] : ['.', ','];
  const cell = (value: CsvValue): string => {
    if (typeof value === 'string') return csvCell(plainText(value), { between });
    if (typeof value === 'number') return Number.isFinite(value) ? String(value).replace('.', mark) : '';
    return value === null || value === undefined ? '' : String(value);
  };
  return [header, ...rows].map((row) => `${row.map(cell).join(between)}\n`).join('');
}

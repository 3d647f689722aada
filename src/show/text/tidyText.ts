import type { Cell } from '../../tell/table.js';

/** A cell for people: numbers with three figures, the day of a time (UTC), `-` for what is missing. */
export function tidyCellText(cell: Cell): string {
  if (cell === null || cell === '') return '-';
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  if (typeof cell === 'string') return cell.replace(/^(\d{4}-\d\d-\d\d)T\d\d:\d\d:[\d.]+Z$/, '$1');
  if (Number.isInteger(cell)) return String(cell);
  const size = Math.abs(cell);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 0.995 ? 2 : 3;
  return Number(cell.toFixed(digits)) === 0 ? '0' : cell.toFixed(digits);
}

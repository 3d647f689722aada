import { MONTHS, plain } from '../../series/format.js';
import { unitLabel, type GaugeUnit } from '../../series/units.js';
import type { ZoneClock } from '../../series/time.js';

/** An edge may be told apart by a move of this share of its 80 % interval; below, no paddler would notice. */
export const NOTICEABLE = 0.25;

/** `11.8 to 12.3 m³/s`: two gauge values to three digits. */
export function fromTo(from: number, to: number, unit: GaugeUnit): string {
  const digits = Math.max(0, 2 - Math.floor(Math.log10(Math.max(Math.abs(from), Math.abs(to), 1e-9))));
  return `${plain(from, digits)} to ${plain(to, digits)} ${unitLabel(unit)}`;
}

/** A move in words, without its sign: `a tenth of its 80 % interval`. */
export function moveShare(move: number): string {
  const percent = Math.round(Math.abs(move) * 100);
  return percent < 1 ? 'next to nothing' : `${percent} % of the width of its 80 % interval`;
}

/** `3 May 2031` in the creek's zone. */
export function dayInWords(timeMs: number, clock: ZoneClock): string {
  const local = new Date(timeMs + clock.offsetAt(timeMs));
  return `${local.getUTCDate()} ${MONTHS[local.getUTCMonth()]} ${local.getUTCFullYear()}`;
}

/** `row 41`, `rows 41 to 43`, `rows 41, 55`. */
export function rowsInWords(rows: readonly number[]): string {
  if (rows.length === 1) return `row ${rows[0]}`;
  const [first] = rows;
  const last = rows[rows.length - 1];
  return last - first === rows.length - 1 ? `rows ${first} to ${last}` : `rows ${rows.join(', ')}`;
}

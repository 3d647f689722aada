import { datePattern } from '../datePattern.js';
import type { IsoTime } from '../../series/isoTime.js';
import { shareOf, type Sheet, type SheetColumn } from './sheet.js';

/** How the dates of a column are written. */
export interface GuessedDates {
  readonly column: SheetColumn;
  readonly pattern: string;
  readonly withClock: boolean;
  /** The same with day and month exchanged reads every cell as well. */
  readonly either?: string;
}

const DAYS = ['yyyy-MM-dd', 'yyyy/MM/dd', 'yyyy.MM.dd', 'yyyyMMdd'].concat(
  ['.', '/', '-'].flatMap((mark) =>
    ['dd MM yyyy', 'MM dd yyyy', 'dd MM yy', 'MM dd yy'].map((order) => order.replaceAll(' ', mark)),
  ),
);
const PATTERNS = DAYS.flatMap((day) => [
  { pattern: day, withClock: false },
  ...[' HH:mm', ' HH:mm:ss', 'THH:mm', 'THH:mm:ss', ' HH.mm'].map((clock) => ({
    pattern: day + clock,
    withClock: true,
  })),
]);
/** A column is one of dates from this share of its cells on. */
const MOST = 0.6;

/** The first column of dates, with the pattern that reads most of it: one date such as 13.06.2015 settles day and month for all. */
export function guessDates({ columns }: Sheet): GuessedDates | undefined {
  for (const column of columns) {
    const found = patternOf(column);
    if (found !== undefined) return { column, ...found };
  }
  return undefined;
}

function patternOf({ cells }: SheetColumn): Omit<GuessedDates, 'column'> | undefined {
  const bare = cells.map((cell) => cell.replace(/^\p{L}{2,}\.?,?\s+/u, ''));
  const iso = shareOf(bare, (cell) => reads('iso', cell));
  const shares = PATTERNS.map((one) => ({ ...one, share: shareOf(bare, (cell) => reads(one.pattern, cell)) }));
  const best = shares.reduce((most, one) => (one.share > most.share + 1e-9 ? one : most));
  if (iso >= MOST && iso >= best.share)
    return { pattern: 'iso', withClock: bare.some((cell) => cell.length > 10 && reads('iso', cell)) };
  if (!(best.share >= MOST)) return undefined;
  const other = shares.find((one) => one !== best && one.share === best.share && one.withClock === best.withClock);
  return { pattern: best.pattern, withClock: best.withClock, ...(other && { either: other.pattern }) };
}

const OUT: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };

function reads(pattern: string, cell: string): boolean {
  return datePattern(pattern)(cell, 0, cell.length, OUT);
}

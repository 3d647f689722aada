import type { Issue } from '../series/issue.js';
import { swappedPattern } from './datePattern.js';
import type { IssueLog } from './issueLog.js';
import { clockText } from './settleTimes.js';
import { shapeIssue, usualCells } from './tableRows.js';

/**
 * The rows of a gauge table that have a time, as they stand in the file, before they are judged by each other. A row that is refused has a
 * time of NaN.
 */
export interface GaugeColumn {
  /** Rows; the arrays may be longer. */
  count: number;
  /** The clock reading as if UTC, or UTC: see `kind`. */
  readonly timesMs: Float64Array;
  readonly kind: Uint8Array;
  readonly values: Float64Array;
  /** 1-based lines. */
  readonly rows: Int32Array;
  /** Cells of the row. */
  readonly cells: Uint16Array;
  /**
   * 1: a number with a decimal mark; in a row with too many cells whose next cell has digits alone, 2: a number without, 3: one that may
   * have thousands.
   */
  readonly digits: Uint8Array;
  readonly codes: string[];
  readonly unreadable: Map<number, string>;
  /** Rows beside a line too short for a row: it may be the rest of the row before it, or the beginning of the one after. */
  readonly goesOn: Set<number>;
  readonly begunBefore: Set<number>;
  /** The first row whose date can be read only with day and month exchanged. */
  otherWay: { readonly row: number; readonly date: string } | undefined;
  /** Cells that a row must have for the mapped columns, and the quality's index (-1 for none). */
  mapped: { readonly most: number; readonly quality: number };
}

/** A column for at most so many rows. */
export function emptyColumn(most: number): GaugeColumn {
  return {
    count: 0,
    timesMs: new Float64Array(most),
    kind: new Uint8Array(most),
    values: new Float64Array(most),
    rows: new Int32Array(most),
    cells: new Uint16Array(most),
    digits: new Uint8Array(most),
    codes: [],
    unreadable: new Map(),
    goesOn: new Set(),
    begunBefore: new Set(),
    otherWay: undefined,
    mapped: { most: 0, quality: -1 },
  };
}

interface Place {
  readonly file: string;
  /** Names of the columns. */
  readonly time: string;
  readonly value: string;
  readonly log: IssueLog;
}

/**
 * Refuses rows whose number of cells is not that of other rows, rows whose number was cut in two by its decimal comma, and rows that go on
 * in the next line.
 */
export function judgeCells(column: GaugeColumn, { file, log, width }: Place & { width: number }): void {
  const { count, cells, digits, rows, timesMs } = column;
  const usual = usualCells(cells, count, width);
  let whole = width;
  for (let i = 0; i < count; i++) if (digits[i] === 1 && usual(cells[i]!)) whole = Math.max(whole, cells[i]!);
  const refuse = (i: number, issue: Issue) => {
    timesMs[i] = NaN;
    log.add(issue);
  };
  for (let i = 0; i < count; i++) {
    const at = { file, line: rows[i]! };
    const found = `${cells[i]} cells`;
    if (digits[i]! > 1 && cells[i]! > whole)
      refuse(
        i,
        shapeIssue(
          at,
          `${found}, a number without decimals and digits after it`,
          `${width} cells`,
          'A decimal comma between commas makes two cells of one number. Export the file with another delimiter, or with a decimal point.',
        ),
      );
    else if (!usual(cells[i]!))
      refuse(
        i,
        shapeIssue(
          at,
          found,
          `${width}, as in the header row, or as many as other rows have`,
          'A cell is missing or there is one too many; which one nobody can tell. Mend the row.',
        ),
      );
    else if (column.begunBefore.has(i) || (column.goesOn.has(i) && mayBeCut(column, i)))
      refuse(
        i,
        shapeIssue(
          at,
          'a row beside a line that may be a part of it',
          'a row in a line',
          'A line too short for a row stands before or after it. Join the two, or delete the short one.',
        ),
      );
  }
}

/** Whether the row's last cell is one that counts, and is no code that other rows have too. */
function mayBeCut({ cells, codes, mapped }: GaugeColumn, i: number): boolean {
  const known = mapped.quality === mapped.most - 1 && codes.some((code, k) => k !== i && code === codes[i]);
  return cells[i] === mapped.most && !known;
}

/**
 * Refuses the last row where its line does not end and its last cell counts: a download that broke off may have cut it. A code that other
 * rows have is whole.
 */
export function judgeLastRow(column: GaugeColumn, { file, log, lines }: Place & { lines: number }): void {
  const { count, rows, timesMs } = column;
  const last = count - 1;
  if (last < 0 || rows[last] !== lines || !(timesMs[last]! === timesMs[last]!) || !mayBeCut(column, last)) return;
  timesMs[last] = NaN;
  log.add(
    shapeIssue(
      { file, line: rows[last]! },
      'a last row without a line end',
      'a file that ends with its last row',
      'A download that broke off may have cut its number. If the row is whole, put a line break after it.',
    ),
  );
}

const OTHER_MARK = { '.': /^[+-]?\d{1,3}([.' ]?\d{3})*,\d+$/, ',': /^[+-]?\d{1,3}([,' ]?\d{3})*\.\d+$/ } as const;

/** Refuses every number with a decimal mark where more cells of the column have the other mark: what was read as decimals are thousands. */
export function judgeMarks(column: GaugeColumn, { file, value, log, mark }: Place & { mark: '.' | ',' }): void {
  const { count, digits, rows, timesMs } = column;
  let others = 0;
  for (const cell of column.unreadable.values()) if (OTHER_MARK[mark].test(cell)) others++;
  if (others === 0) return;
  let own = 0;
  for (let i = 0; i < count; i++) if (digits[i]! % 2 === 1) own++;
  if (others <= own) return;
  for (let i = 0; i < count; i++) {
    if (digits[i]! % 2 === 0 || !(timesMs[i] === timesMs[i])) continue;
    timesMs[i] = NaN;
    log.add({
      code: 'value-unreadable',
      severity: 'warning',
      file,
      row: rows[i]!,
      column: value,
      found: `'${mark}' in a number, where most numbers of the column have '${mark === '.' ? ',' : '.'}'`,
      expected: 'one decimal mark in the whole column',
      hint: `It may stand between thousands. Set decimalMark to '${mark === '.' ? ',' : '.'}' for the gauge in creek.json.`,
    });
  }
}

const DAY_MS = 86_400_000;
/** Rows of a record are not farther apart, unless the record has a gap. */
const GAP_MS = 20 * DAY_MS;
/** A clock that is set back in autumn makes no row out of order. */
const CLOCK_MS = 2 * 3_600_000;

/**
 * Refuses rows whose day and month must be exchanged for the file to be in time order, and the rows around them, up to the next date that
 * can be read in one way only. Of all ways to read each row as it stands or exchanged, the one with the fewest steps back and jumps is
 * found (shortest path over two states a row).
 *
 * @returns the issue of a file that is written the other way round throughout, or so far as can be told
 */
export function judgeDates(
  column: GaugeColumn,
  { file, time, log, pattern }: Place & { pattern: string },
): Issue | undefined {
  const { count, timesMs, rows } = column;
  const swapped = swappedPattern(pattern);
  if (swapped === undefined) return undefined;
  const exchanged = exchangedRows(timesMs.subarray(0, count));
  let settled = 0;
  let wrong = 0;
  for (let i = 0; i < count; i++) {
    const day = new Date(timesMs[i]!).getUTCDate();
    if (day > 12) settled++;
    if (exchanged?.[i]) wrong++;
  }
  const { otherWay } = column;
  const first =
    otherWay ??
    (wrong > 0 ? { row: rows[exchanged!.indexOf(1)]!, date: clockText(timesMs[exchanged!.indexOf(1)]!) } : undefined);
  if (first !== undefined && settled === 0 && (otherWay !== undefined || wrong * 2 > count))
    return {
      code: 'time-unreadable',
      severity: 'fatal',
      file,
      row: first.row,
      column: time,
      found: `'${first.date}', and no date that only ${pattern} can read`,
      expected: `a time written as ${pattern}`,
      hint: `Day and month seem to be the other way round: set datePattern to ${swapped}.`,
    };
  for (let i = 0; i < count && wrong > 0; i++) {
    if (!exchanged![i]) continue;
    log.add({
      code: 'time-unreadable',
      severity: 'warning',
      file,
      row: rows[i]!,
      column: time,
      found: 'a date out of order, which fits with day and month exchanged',
      expected: 'one way to write dates in the whole column',
      hint: 'Day and month of some rows are the other way round than datePattern says; none of these is used.',
    });
    timesMs[i] = NaN;
  }
  return undefined;
}

/**
 * 1 for each row that must be exchanged and its neighbours up to the next settled date; undefined where the rows are in order as they
 * stand.
 */
function exchangedRows(all: Float64Array): Uint8Array | undefined {
  const kept = [...all.keys()].filter((i) => all[i] === all[i]);
  const falls = kept.filter((i, k) => k > 0 && all[i]! < all[kept[k - 1]!]!).length;
  const sign = falls * 2 > kept.length - 1 ? -1 : 1;
  const cost = (from: number, to: number) => {
    const step = sign * (to - from);
    return step < -CLOCK_MS ? 1 : step > GAP_MS ? 0.5 : 0;
  };
  if (kept.every((i, k) => k === 0 || cost(all[kept[k - 1]!]!, all[i]!) === 0)) return undefined;
  // best[s]: the least cost of a way to the row as it stands (0) or exchanged (1); cameFrom keeps the ways.
  const cameFrom = [new Uint8Array(kept.length), new Uint8Array(kept.length)];
  let best = [0, 1e-6];
  let before = [NaN, NaN];
  kept.forEach((i, k) => {
    const now = [all[i]!, exchange(all[i]!)];
    const next = now.map((to, s) => {
      if (!(to === to)) return Infinity;
      const ways = before.map((from, r) =>
        k === 0 ? (r === 0 ? 0 : Infinity) : best[r]! + (from === from ? cost(from, to) : Infinity),
      );
      cameFrom[s]![k] = ways[1]! < ways[0]! ? 1 : 0;
      return Math.min(...ways) + (s === 1 ? 1e-6 : 0);
    });
    best = next;
    before = now;
  });
  const out = new Uint8Array(all.length);
  for (let k = kept.length - 1, s = best[1]! < best[0]! ? 1 : 0; k >= 0; k--) {
    out[kept[k]!] = s;
    s = cameFrom[s]![k]!;
  }
  // Where some rows of a run are the wrong way round, the others might be instead.
  const spread = (order: readonly number[]) =>
    order.forEach((i, k) => {
      if (k > 0 && out[order[k - 1]!] === 1 && Number.isFinite(exchange(all[i]!))) out[i] = 1;
    });
  spread(kept);
  spread([...kept].reverse());
  return out;
}

/** The clock reading with day and month exchanged; NaN where that is no other date. */
function exchange(localMs: number): number {
  const date = new Date(localMs);
  const day = date.getUTCDate();
  const month = date.getUTCMonth() + 1;
  if (day > 12 || day === month) return NaN;
  return Date.UTC(date.getUTCFullYear(), day - 1, month) + (localMs - Math.floor(localMs / DAY_MS) * DAY_MS);
}

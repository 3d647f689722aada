import type { Gauge } from '../series/creek.js';
import type { IsoTime } from '../series/isoTime.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import { datePattern, swappedPattern, type ScanTime } from './datePattern.js';
import { datumNotes } from './datumNotes.js';
import { delimitedHeader, delimiterName, type DelimitedHeader } from './delimitedHeader.js';
import { issueLog, type IssueLog } from './issueLog.js';
import { emptyColumn, judgeCells, judgeDates, judgeLastRow, judgeMarks, type GaugeColumn } from './judgeColumn.js';
import { keepTimed } from './keepTimed.js';
import { oneBlank, plainCell, type CutRecord } from './recordCutter.js';
import { scanNumber, sharedStrings } from './scanText.js';
import { DAY, LOCAL, settleTimes } from './settleTimes.js';
import { cutIssue, shapeIssue, tableRows } from './tableRows.js';
import { tableText, type TableText } from './tableText.js';
import type { GaugeRead, NamedFile } from './types.js';
import { unitInBrackets } from './unitText.js';

const HALF_DAY_MS = 43_200_000;

/**
 * Reads any delimited text table by the gauge's mapping (columns, skipLines, delimiter, decimalMark, encoding, datePattern, missing,
 * stopAt): one series, its key the value column's name. A time without an offset is local in the gauge's zone; a calendar date without a
 * clock stands for the day's mean and is put at local noon. Cells may be quoted and then hold delimiters and line breaks. Blank lines are
 * no rows, and there are no comments.
 *
 * A row is judged by its column too: by the cells that the other rows have, by the decimal mark of the other numbers, by the dates
 * around it, and by its line end where it is the last. A row that could be read in two ways is listed and left out.
 *
 * @returns no series where a column is missing, and none where every sign says that day and month are the other way round than in
 * datePattern; a row without a readable time is listed and left out; a cell that is no number stays as NaN with its text.
 * @throws TypeError when the mapping names no time or value column (a validated creek.json always does)
 */
export function readDelimited(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const columns = gauge.columns;
  if (columns?.value === undefined || (columns.time ?? columns.date) === undefined)
    throw new TypeError(`readDelimited: gauge '${gauge.id}' has no columns.value with columns.time or columns.date`);
  const table = tableText(file, { encoding: gauge.encoding });
  if ('issue' in table) return { series: [], issues: [table.issue] };
  const header = delimitedHeader({ file: file.name, text: table.text }, gauge);
  if ('issues' in header) return { series: [], issues: header.issues };

  const log = issueLog();
  const timeName = (columns.time ?? columns.date)!;
  const column = readColumn({ file: file.name, table, header, gauge, timeName, log });
  const place = { file: file.name, time: timeName, value: columns.value, log };
  judgeCells(column, { ...place, width: header.width });
  judgeLastRow(column, { ...place, lines: table.lines });
  judgeMarks(column, { ...place, mark: gauge.decimalMark ?? '.' });
  const otherWay = judgeDates(column, { ...place, pattern: gauge.datePattern ?? 'iso' });
  if (otherWay !== undefined) return { series: [], issues: [otherWay] };

  const n = column.count;
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  const settled = settleTimes({ file: file.name, ...column, column: timeName }, clock, log);
  const series = keepTimed({
    key: columns.value,
    column: columns.value,
    unitText: unitInBrackets(columns.value),
    timesMs: column.timesMs.subarray(0, n),
    values: column.values.subarray(0, n),
    codes: column.codes,
    rows: column.rows.subarray(0, n),
    unreadable: column.unreadable,
    ...(settled.dayMeans && { dayMeans: true }),
    ...datumNotes(header.before),
  });
  return { series: [series], issues: log.issues() };
}

interface Reading {
  readonly file: string;
  readonly table: TableText;
  readonly header: DelimitedHeader;
  readonly gauge: Gauge;
  readonly timeName: string;
  readonly log: IssueLog;
}

/** The rows that have a time, as they stand; each other row is listed. */
function readColumn({ file, table: { text, lines }, header, gauge, timeName, log }: Reading): GaugeColumn {
  const { delimiter = ',', decimalMark = '.' } = gauge;
  const { time: iTime, clock: iClock, value: iValue, quality: iQuality } = header;
  const pattern = gauge.datePattern ?? 'iso';
  const scanTime = datePattern(pattern);
  const swapped = swappedPattern(pattern);
  const scanOther = swapped === undefined ? undefined : datePattern(swapped);
  const isMissing = missingToken(gauge);
  const most = Math.max(iTime, iClock, iValue, iQuality) + 1;
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  /** What the rest of a row looks like that goes on in the next line: more of its code, or of its number. */
  const tail = iQuality === most - 1 ? /^[\w.:+-]+$/ : /^[\d.,e+-]+$/i;
  const isRow = (line: string) => {
    const cells = line.split(delimiter);
    return (
      cells.length >= Math.max(header.width, 3) ||
      (cells.length > iTime && scan(scanTime, cells[iTime]!, cells[iClock]))
    );
  };
  const scan = (by: ScanTime, date: string, time = '') => {
    const joined = iClock < 0 ? date.trim() : `${date.trim()} ${time.trim()}`;
    return by(joined, 0, joined.length, iso);
  };
  const table = tableRows(text, {
    delimiter,
    most: header.width,
    at: header.end + 1,
    line: header.line + header.lines,
    isRow,
    stopAt: gauge.stopAt?.trim(),
  });
  const { starts, ends } = table;
  const out = emptyColumn(lines);
  out.mapped = { most, quality: iQuality };
  /** A line that may be the beginning of the next. */
  let begun = -1;
  const share = sharedStrings();
  const cell = (i: number) => text.slice(starts[i], ends[i]);

  for (let record = table.next(); record !== undefined; record = table.next()) {
    const line = table.line();
    if (record.problem !== '') {
      log.add(cutIssue(file, line, record));
      continue;
    }
    if (record.cells < most || record.overflow) {
      if (record.cells < most) {
        const before = out.count - 1;
        if (tail.test(cell(0)) && out.rows[before] === line - 1) out.goesOn.add(before);
        begun = record.cells === 1 && /^\d+$/.test(cell(0)) ? line : -1;
      }
      log.add(cellsIssue({ file, line, record, most, width: header.width, delimiter }));
      continue;
    }
    const timed =
      iClock < 0 ? scanTime(text, starts[iTime]!, ends[iTime]!, iso) : scan(scanTime, cell(iTime), cell(iClock));
    if (!timed) {
      const date = cell(iTime).slice(0, 40);
      if (scanOther !== undefined && scan(scanOther, cell(iTime), iClock < 0 ? '' : cell(iClock)))
        out.otherWay ??= { row: line, date };
      log.add(timeUnreadable({ file, row: line, column: timeName, date, pattern }));
      continue;
    }
    const n = out.count++;
    if (begun === line - 1) out.begunBefore.add(n);
    const hasOffset = iso.offsetMs === iso.offsetMs;
    out.timesMs[n] = iso.localMs + (iso.dateOnly ? HALF_DAY_MS : 0) - (hasOffset ? iso.offsetMs : 0);
    out.kind[n] = (hasOffset ? 0 : LOCAL) + (iso.dateOnly ? DAY : 0);
    out.rows[n] = line;
    out.cells[n] = record.cells;
    out.codes.push(iQuality < 0 ? '' : plainCell(share(text, starts[iQuality]!, ends[iQuality]!)));
    const value = scanNumber(text, starts[iValue]!, ends[iValue]!, decimalMark);
    const readable = value === value;
    out.values[n] = readable && isMissing.number(value) ? NaN : value;
    if (!readable && ends[iValue]! > starts[iValue]! && !isMissing.text(cell(iValue)))
      out.unreadable.set(n, share(text, starts[iValue]!, Math.min(ends[iValue]!, starts[iValue]! + 40)));
    out.digits[n] = readable ? digitsOf(record) : 0;
  }
  return out;

  /** @see GaugeColumn.digits */
  function digitsOf(record: CutRecord): number {
    const number = cell(iValue);
    const marked = number.includes(decimalMark);
    if (!(record.cells > header.width && iValue + 1 < header.width && /^\d+$/.test(cell(iValue + 1))))
      return marked ? 1 : 0;
    return !marked ? 2 : /^\d{1,3}.\d{3}$/.test(number) ? 3 : 1;
  }
}

/** Whether a number, or the text of a cell, is one of the gauge's tokens for "no value". */
function missingToken({ missing = [], decimalMark = '.' }: Gauge) {
  const texts = new Set(missing.map(oneBlank));
  const numbers = [...texts].map((token) => scanNumber(token, 0, token.length, decimalMark)).filter(Number.isFinite);
  return { number: (value: number) => numbers.includes(value), text: (cell: string) => texts.has(plainCell(cell)) };
}

interface OddRow {
  readonly file: string;
  readonly line: number;
  readonly record: CutRecord;
  readonly most: number;
  readonly width: number;
  readonly delimiter: string;
}

function cellsIssue({ file, line, record, most, width, delimiter }: OddRow): Issue {
  const found = `${record.cells} cells`;
  return record.overflow
    ? shapeIssue(
        { file, line },
        found,
        `at most ${width} cells, as in the header row`,
        'Check delimiter and decimalMark: a decimal comma between commas makes two cells of one number.',
      )
    : shapeIssue(
        { file, line },
        found,
        `at least ${most} cells separated by ${delimiterName(delimiter)}`,
        'If the data end before this row, give the text this row begins with as stopAt.',
      );
}

interface OddTime {
  readonly file: string;
  readonly row: number;
  readonly column: string;
  readonly date: string;
  readonly pattern: string;
}

function timeUnreadable({ date, pattern, ...place }: OddTime): Issue {
  const dayFirst = pattern === 'iso' && /^\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}/.test(date);
  return {
    code: 'time-unreadable',
    severity: 'warning',
    ...place,
    found: `'${date}'`,
    expected: pattern === 'iso' ? 'a time in ISO 8601, such as 2024-04-28T14:30' : `a time written as ${pattern}`,
    hint: dayFirst
      ? 'Day and month cannot be told apart here: set datePattern to the way the file means it, such as dd/MM/yyyy HH:mm.'
      : 'Set datePattern to the way the file writes its times, or stopAt to the text after the data.',
  };
}

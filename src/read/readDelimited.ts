import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { IsoTime } from '../series/isoTime.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import { datePattern, swappedPattern } from './datePattern.js';
import { datumNotes } from './datumNotes.js';
import { delimitedHeader, delimiterName } from './delimitedHeader.js';
import { issueLog } from './issueLog.js';
import { keepTimed } from './keepTimed.js';
import { recordCutter, plainCell, oneBlank } from './recordCutter.js';
import { scanNumber, sharedStrings, skipBlanks } from './scanText.js';
import { DAY, LOCAL, settleTimes } from './settleTimes.js';
import { tableText } from './tableText.js';
import type { GaugeRead, NamedFile } from './types.js';
import { unitInBrackets } from './unitText.js';

const HALF_DAY_MS = 43_200_000;

/**
 * Reads any delimited text table by the gauge's mapping (columns, skipLines, delimiter, decimalMark, encoding, datePattern, missing, stopAt): one series, its
 * key the value column's name. A time without an offset is local in the gauge's zone; a calendar date without a clock stands for the day's mean and is put
 * at local noon. Cells may be quoted and then hold delimiters and line breaks. Blank lines are no rows.
 *
 * @returns no series where a column is missing, and none where every sign says that day and month are the other way round than in datePattern; a row without a
 * readable time, or with more cells than the header, is listed and left out; a cell that is no number stays as NaN with its text.
 * @throws TypeError when the mapping names no time or value column (a validated creek.json always does)
 */
export function readDelimited(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const columns = gauge.columns;
  if (columns?.value === undefined || (columns.time ?? columns.date) === undefined)
    throw new TypeError(`readDelimited: gauge '${gauge.id}' has no columns.value with columns.time or columns.date`);
  const table = tableText(file, { encoding: gauge.encoding });
  if ('issue' in table) return { series: [], issues: [table.issue] };
  const { text } = table;
  const header = delimitedHeader({ file: file.name, text }, gauge);
  if ('issues' in header) return { series: [], issues: header.issues };
  const { delimiter = ',', decimalMark = '.' } = gauge;
  const stopAt = gauge.stopAt?.trim() ?? '';
  const timeName = (columns.time ?? columns.date)!;
  const { time: iTime, clock: iClock, value: iValue, quality: iQuality } = header;

  const pattern = gauge.datePattern ?? 'iso';
  const scanTime = datePattern(pattern);
  const otherWay = swappedPattern(pattern);
  const scanOther = otherWay === undefined ? undefined : datePattern(otherWay);
  const missingTexts = new Set((gauge.missing ?? []).map(oneBlank));
  const missingNumbers = [...missingTexts]
    .map((token) => scanNumber(token, 0, token.length, decimalMark))
    .filter(Number.isFinite);
  const most = Math.max(iTime, iClock, iValue, iQuality) + 1;
  const { cutAt, starts, ends } = recordCutter(text, { delimiter, most: header.width });
  const timesMs = new Float64Array(table.lines);
  const kind = new Uint8Array(table.lines);
  const values = new Float64Array(table.lines);
  const rows = new Int32Array(table.lines);
  const codes: string[] = [];
  const unreadable = new Map<number, string>();
  const share = sharedStrings();
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  const log = issueLog();
  let n = 0;
  /** Whether a date was read that could not be read the other way round, and the first row that could be read only so. */
  let proven = scanOther === undefined;
  let swapped: { readonly row: number; readonly cell: string } | undefined;

  let at = header.end;
  let next = header.line + header.lines;
  while (at < text.length) {
    // `at` stands on the line break that ended the record before.
    const from = at + 1;
    const line = next;
    const newline = text.indexOf('\n', from);
    const lineEnd = newline < 0 ? text.length : newline;
    const first = skipBlanks(text, from, lineEnd);
    if (first === lineEnd || (first === lineEnd - 1 && text.charCodeAt(first) === 13)) {
      at = lineEnd;
      next++;
      continue;
    }
    if (stopAt !== '' && text.startsWith(stopAt, first)) break;
    const record = cutAt(from);
    at = record.end;
    next += 1 + record.breaks;
    if (record.problem !== '' || record.cells < most || record.overflow) {
      log.add({
        code: 'row-shape',
        severity: 'warning',
        file: file.name,
        row: line,
        found: record.problem !== '' ? record.problem : `${record.cells} cells`,
        expected: record.overflow
          ? `at most ${header.width} cells, as in the header row`
          : `at least ${most} cells separated by ${delimiterName(delimiter)}`,
        hint: record.overflow
          ? 'Check delimiter and decimalMark: a decimal comma between commas makes two cells of one number.'
          : 'If the data end before this row, give the text this row begins with as stopAt.',
      });
      continue;
    }
    const timed = iClock < 0 ? scanTime(text, starts[iTime]!, ends[iTime]!, iso) : scanBoth(scanTime);
    if (!timed) {
      const cell = text.slice(starts[iTime], ends[iTime]).slice(0, 40);
      if (scanOther !== undefined && swapped === undefined && scanBoth(scanOther)) swapped = { row: line, cell };
      log.add(timeUnreadable(line, cell));
      continue;
    }
    if (!proven) proven = new Date(iso.localMs).getUTCDate() > 12;
    const hasOffset = iso.offsetMs === iso.offsetMs;
    timesMs[n] = iso.localMs + (iso.dateOnly ? HALF_DAY_MS : 0) - (hasOffset ? iso.offsetMs : 0);
    kind[n] = (hasOffset ? 0 : LOCAL) + (iso.dateOnly ? DAY : 0);
    rows[n] = line;
    codes.push(iQuality < 0 ? '' : plainCell(share(text, starts[iQuality]!, ends[iQuality]!)));
    let value = scanNumber(text, starts[iValue]!, ends[iValue]!, decimalMark);
    if (value === value) {
      for (let k = 0; k < missingNumbers.length; k++) if (missingNumbers[k] === value) value = NaN;
    } else if (ends[iValue]! > starts[iValue]!) {
      const cell = text.slice(starts[iValue]!, ends[iValue]!);
      if (!missingTexts.has(plainCell(cell))) unreadable.set(n, share(cell, 0, Math.min(cell.length, 40)));
    }
    values[n++] = value;
  }
  if (swapped !== undefined && !proven) return { series: [], issues: [otherWayRound(swapped)] };

  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  const settled = settleTimes({ file: file.name, timesMs, kind, rows, count: n, column: timeName }, clock, log);
  const series: RawSeries = keepTimed({
    key: columns.value,
    column: columns.value,
    unitText: unitInBrackets(columns.value),
    timesMs: timesMs.subarray(0, n),
    values: values.subarray(0, n),
    codes,
    rows: rows.subarray(0, n),
    unreadable,
    ...(settled.dayMeans && { dayMeans: true }),
    ...datumNotes(header.before),
  });
  return { series: [series], issues: log.issues() };

  function scanBoth(scan: typeof scanTime): boolean {
    const date = text.slice(starts[iTime], ends[iTime]);
    const joined = iClock < 0 ? date : `${date} ${text.slice(starts[iClock], ends[iClock])}`;
    return scan(joined, 0, joined.length, iso);
  }

  function timeUnreadable(row: number, cell: string): Issue {
    const dayFirst = pattern === 'iso' && /^\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}/.test(cell);
    return {
      code: 'time-unreadable',
      severity: 'warning',
      file: file.name,
      row,
      column: timeName,
      found: `'${cell}'`,
      expected:
        pattern === 'iso' ? 'a time in ISO 8601, such as 2024-04-28T14:30' : `a time written as ${gauge.datePattern}`,
      hint: dayFirst
        ? 'Day and month cannot be told apart here: set datePattern to the way the file means it, such as dd/MM/yyyy HH:mm.'
        : 'Set datePattern to the way the file writes its times, or stopAt to the text after the data.',
    };
  }

  function otherWayRound({ row, cell }: { row: number; cell: string }): Issue {
    return {
      code: 'time-unreadable',
      severity: 'fatal',
      file: file.name,
      row,
      column: timeName,
      found: `'${cell}', and no date that only ${pattern} can read`,
      expected: `a time written as ${pattern}`,
      hint: `Day and month seem to be the other way round: set datePattern to ${otherWay}.`,
    };
  }
}

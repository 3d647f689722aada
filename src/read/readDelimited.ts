import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { IsoTime } from '../series/isoTime.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import { datePattern } from './datePattern.js';
import { decodeText } from './decodeText.js';
import { issueLog } from './issueLog.js';
import { didYouMean } from './nearestWord.js';
import { countLines, dropBlanks, scanNumber, sharedStrings, skipBlanks } from './scanText.js';
import { settleTimes } from './settleTimes.js';
import { keepTimed } from './keepTimed.js';
import type { GaugeRead, NamedFile } from './types.js';
import { unitInBrackets } from './unitText.js';

const HALF_DAY_MS = 43_200_000;
const QUOTE = 34;

/**
 * Reads any delimited text table by the gauge's mapping (columns, skipLines, delimiter, decimalMark, encoding, datePattern, missing, stopAt): one series, its
 * key the value column's name. A time without an offset is local in the gauge's zone; a calendar date without a clock stands for the day's mean and is put
 * at local noon. A cell may be quoted; a line break inside quotes is not taken (gauge tables have none). Blank lines are no rows.
 *
 * @returns no series where a column is missing; a row without a readable time is listed and left out; a cell that is no number stays as NaN with its text.
 * @throws TypeError when the mapping names no time or value column (a validated creek.json always does)
 */
export function readDelimited(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const columns = gauge.columns;
  if (columns?.value === undefined || (columns.time ?? columns.date) === undefined)
    throw new TypeError(`readDelimited: gauge '${gauge.id}' has no columns.value with columns.time or columns.date`);
  const decoded = decodeText(file, { encoding: gauge.encoding });
  if ('issue' in decoded) return { series: [], issues: [decoded.issue] };
  const text = decoded.text;
  const delimiter = gauge.delimiter ?? ',';
  const cut = delimiter.charCodeAt(0);
  const decimalMark = gauge.decimalMark ?? '.';
  const stopAt = gauge.stopAt?.trim() ?? '';

  // The header row.
  let at = 0;
  let line = 1;
  for (let skip = gauge.skipLines ?? 0; skip > 0; skip--) {
    const end = text.indexOf('\n', at);
    at = end < 0 ? text.length : end + 1;
    line++;
  }
  const headerEnd = lineEnd(text, at);
  const header = splitLine(text, at, headerEnd, cut);
  const index = (name: string | undefined) => (name === undefined ? -1 : header.indexOf(name.trim()));
  const timeName = (columns.time ?? columns.date)!;
  const iTime = index(timeName);
  const iClock = columns.time === undefined ? index(columns.clock) : -1;
  const iValue = index(columns.value);
  const iQuality = index(columns.quality);
  const wanted = columns.time === undefined ? [columns.date, columns.clock] : [columns.time];
  const missing = [...wanted, columns.value, columns.quality].filter((name) => name !== undefined && index(name) < 0);
  if (missing.length > 0)
    return { series: [], issues: missing.map((name) => columnMissing(file.name, line, name!, header, delimiter)) };

  // The rows.
  const scanTime = datePattern(gauge.datePattern ?? 'iso');
  const missingTexts = new Set((gauge.missing ?? []).map((token) => token.trim()));
  const missingNumbers = [...missingTexts]
    .map((token) => scanNumber(token, 0, token.length, decimalMark))
    .filter(Number.isFinite);
  const most = Math.max(iTime, iClock, iValue, iQuality) + 1;
  const capacity = countLines(text);
  const timesMs = new Float64Array(capacity);
  const local = new Uint8Array(capacity);
  const values = new Float64Array(capacity);
  const rows = new Int32Array(capacity);
  const codes: string[] = [];
  const unreadable = new Map<number, string>();
  const starts = new Int32Array(most);
  const ends = new Int32Array(most);
  const share = sharedStrings();
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  const log = issueLog();
  let n = 0;

  at = headerEnd;
  while (at < text.length) {
    // `at` stands on the line break that ended the line before.
    at++;
    line++;
    const from = at;
    const newline = text.indexOf('\n', from);
    at = newline < 0 ? text.length : newline;
    const to = at > from && text.charCodeAt(at - 1) === 13 ? at - 1 : at;
    const first = skipBlanks(text, from, to);
    if (first === to) continue;
    if (stopAt !== '' && text.startsWith(stopAt, first)) break;

    const cells = cutCells(text, from, to, cut, most, starts, ends);
    if (cells < most) {
      log.add({
        code: 'row-shape',
        severity: 'warning',
        file: file.name,
        row: line,
        found: cells < 0 ? 'a quote that is not closed on its line' : `${cells} cells`,
        expected: `at least ${most} cells separated by ${delimiterName(delimiter)}`,
        hint: 'If the data end before this row, give the text this row begins with as stopAt.',
      });
      continue;
    }
    const timed =
      iClock < 0
        ? scanTime(text, starts[iTime]!, ends[iTime]!, iso)
        : scanJoined(text.slice(starts[iTime]!, ends[iTime]!), text.slice(starts[iClock]!, ends[iClock]!));
    if (!timed) {
      log.add({
        code: 'time-unreadable',
        severity: 'warning',
        file: file.name,
        row: line,
        column: timeName,
        found: `'${text.slice(starts[iTime]!, ends[iTime]!).slice(0, 40)}'`,
        expected:
          gauge.datePattern === undefined
            ? 'a time in ISO 8601, such as 2024-04-28T14:30'
            : `a time written as ${gauge.datePattern}`,
        hint: 'Set datePattern to the way the file writes its times, or stopAt to the text after the data.',
      });
      continue;
    }
    const hasOffset = iso.offsetMs === iso.offsetMs;
    timesMs[n] = iso.dateOnly ? iso.localMs + HALF_DAY_MS : hasOffset ? iso.localMs - iso.offsetMs : iso.localMs;
    local[n] = hasOffset ? 0 : 1;
    rows[n] = line;
    codes.push(iQuality < 0 ? '' : share(text, starts[iQuality]!, ends[iQuality]!));
    let value = scanNumber(text, starts[iValue]!, ends[iValue]!, decimalMark);
    if (value === value) {
      for (let k = 0; k < missingNumbers.length; k++) if (missingNumbers[k] === value) value = NaN;
    } else if (ends[iValue]! > starts[iValue]!) {
      const cell = text.slice(starts[iValue]!, ends[iValue]!);
      if (!missingTexts.has(cell)) unreadable.set(n, share(cell, 0, Math.min(cell.length, 40)));
    }
    values[n++] = value;
  }

  const zone = gauge.timeZone ?? defaultZone;
  settleTimes({ file: file.name, timesMs, local, rows, count: n, column: timeName }, zoneClock(zone), log);
  const series: RawSeries = keepTimed({
    key: columns.value,
    column: columns.value,
    unitText: unitInBrackets(columns.value),
    timesMs: timesMs.subarray(0, n),
    values: values.subarray(0, n),
    codes,
    rows: rows.subarray(0, n),
    unreadable,
  });
  return { series: [series], issues: log.issues() };

  function scanJoined(date: string, clock: string): boolean {
    const joined = `${date} ${clock}`;
    return scanTime(joined, 0, joined.length, iso);
  }
}

/** End of the line that starts at `at`: the index of its line break, or of the text's end. */
function lineEnd(text: string, at: number): number {
  const end = text.indexOf('\n', at);
  return end < 0 ? text.length : end;
}

/**
 * Finds the first `most` cells of a line: `starts`/`ends` get their trimmed bounds, inside the quotes where quoted.
 * @returns how many there were (at most `most`); -1 for a quote that is not closed
 */
function cutCells(
  text: string,
  from: number,
  to: number,
  cut: number,
  most: number,
  starts: Int32Array,
  ends: Int32Array,
): number {
  let at = from;
  for (let cell = 0; cell < most; cell++) {
    // A blank delimiter would be eaten as a leading blank.
    let start = at;
    while (
      start < to &&
      text.charCodeAt(start) !== cut &&
      (text.charCodeAt(start) === 32 || text.charCodeAt(start) === 9)
    )
      start++;
    if (start < to && text.charCodeAt(start) === QUOTE) {
      let close = start + 1;
      for (; close < to; close++) {
        if (text.charCodeAt(close) !== QUOTE) continue;
        if (close + 1 < to && text.charCodeAt(close + 1) === QUOTE) close++;
        else break;
      }
      if (close >= to) return -1;
      starts[cell] = skipBlanks(text, start + 1, close);
      ends[cell] = dropBlanks(text, starts[cell]!, close);
      at = close + 1;
      while (at < to && text.charCodeAt(at) !== cut) at++;
    } else {
      while (at < to && text.charCodeAt(at) !== cut) at++;
      starts[cell] = start < at ? start : at;
      ends[cell] = dropBlanks(text, starts[cell]!, at);
    }
    if (at >= to) return cell + 1;
    at++;
  }
  return most;
}

/** All cells of the header line, trimmed and unquoted. */
function splitLine(text: string, from: number, to: number, cut: number): string[] {
  const end = to > from && text.charCodeAt(to - 1) === 13 ? to - 1 : to;
  const most = end - from + 1;
  const starts = new Int32Array(most);
  const ends = new Int32Array(most);
  const cells = cutCells(text, from, end, cut, most, starts, ends);
  return Array.from({ length: Math.max(cells, 0) }, (_, k) => text.slice(starts[k]!, ends[k]!));
}

function delimiterName(delimiter: string): string {
  return delimiter === '\t' ? 'tabs' : `'${delimiter}'`;
}

function columnMissing(file: string, row: number, name: string, header: readonly string[], delimiter: string): Issue {
  const near = didYouMean(name, header);
  const single =
    header.length <= 1
      ? ` The row is not cut by ${delimiterName(delimiter)}: check delimiter and skipLines.`
      : ' Check skipLines (lines before the header row), encoding and the column names.';
  return {
    code: 'column-missing',
    severity: 'fatal',
    file,
    row,
    column: name,
    found:
      header.length === 0
        ? 'no header row'
        : `columns ${header.map((h) => `'${h.slice(0, 40)}'`).join(', ')}`.slice(0, 400),
    expected: `a column named '${name}'`,
    hint: (near ?? '') + single.slice(near === undefined ? 1 : 0),
  };
}

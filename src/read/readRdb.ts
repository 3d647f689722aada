import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { IsoTime } from '../series/isoTime.js';
import { scanIso } from '../series/isoTime.js';
import { zoneClock } from '../series/time.js';
import { decodeText } from './decodeText.js';
import { issueLog } from './issueLog.js';
import { joinSeries } from './joinSeries.js';
import { keepTimed } from './keepTimed.js';
import { growBlock, newBlock, type RdbBlock } from './rdbBlock.js';
import { notATimeSeries, rdbColumns, type RdbColumns } from './rdbHeader.js';
import { readFlaggedValue } from './rdbValue.js';
import { offsetOfZoneCode } from './rdbZones.js';
import { dropBlanks, scanNumber, sharedStrings, skipBlanks } from './scanText.js';
import { settleTimes } from './settleTimes.js';
import type { GaugeRead, NamedFile } from './types.js';

const HALF_DAY_MS = 43_200_000;
const TAB = 9;

/**
 * Reads tab-delimited RDB: blocks of comment lines, a header row, a type row and data rows; any number of blocks, sites and value columns. A value
 * column is one that has a code column (`01_00060` and `01_00060_cd`); each site and value column is a series with the key `site column`.
 *
 * Times take the offset of their row's `tz_cd`; rows without one are local in the gauge's zone. A row with a date alone is the mean of that local
 * day and is put at its noon. `-999999`, `Ice`, `Eqp`, `***` and their like are NaN; the flag joins the row's code (`P:Ice`), also where it is glued to a number.
 *
 * @returns no series and one fatal sentence for RDB that holds no time series (peaks, ratings, site lists, measurements)
 */
export function readRdb(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const decoded = decodeText(file, { encoding: 'latin1' });
  if ('issue' in decoded) return { series: [], issues: [decoded.issue] };
  const text = decoded.text;
  const log = issueLog();
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  const share = sharedStrings();
  const found = new Map<string, RawSeries[]>();
  let comments: string[] = [];
  let columns: RdbColumns | undefined;
  let block: RdbBlock | undefined;
  let starts = new Int32Array(0);
  let ends = new Int32Array(0);
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  const zone = { code: '', offsetMs: NaN };

  let at = 0;
  let line = 0;
  while (at < text.length) {
    line++;
    const from = at;
    const newline = text.indexOf('\n', from);
    at = newline < 0 ? text.length : newline + 1;
    let to = newline < 0 ? text.length : newline;
    if (to > from && text.charCodeAt(to - 1) === 13) to--;
    if (to === from) continue;
    if (text.charCodeAt(from) === 35) {
      // A comment after data opens the next block.
      if (block !== undefined) closeBlock();
      comments.push(text.slice(from, to));
      continue;
    }
    if (columns !== undefined && block !== undefined && !text.startsWith('agency_cd\t', from)) {
      readRow(from, to);
      continue;
    }
    if (skipBlanks(text, from, to) === to) continue;
    if (block !== undefined) closeBlock();
    // Header row, then type row.
    const header = text.slice(from, to).split('\t');
    const typeEnd = text.indexOf('\n', at);
    const types = text.slice(at, typeEnd < 0 ? text.length : typeEnd).replace(/\r$/, '');
    const refusal = notATimeSeries(header, types, comments);
    if (refusal !== undefined) return refused(refusal.code, line, refusal.found, refusal.hint);
    at = typeEnd < 0 ? text.length : typeEnd + 1;
    line++;
    columns = rdbColumns(header, types, comments);
    starts = new Int32Array(header.length);
    ends = new Int32Array(header.length);
    block = newBlock(columns.values.length);
  }
  if (block !== undefined) closeBlock();
  else if (found.size === 0) {
    const nothing = comments.find((comment) => /no (sites|data)/i.test(comment));
    return refused(
      'not-a-time-series',
      undefined,
      nothing === undefined ? 'no table' : `the note '${nothing.replace(/^#\s*/, '').trim()}'`,
      'The download holds no data: check site, parameter and dates.',
    );
  }
  return { series: [...found.values()].map(joinSeries), issues: log.issues() };

  function refused(
    code: 'not-a-time-series' | 'wrong-format',
    row: number | undefined,
    what: string,
    hint: string,
  ): GaugeRead {
    const place = row === undefined ? {} : { row };
    return {
      series: [],
      issues: [
        {
          code,
          severity: 'fatal',
          file: file.name,
          ...place,
          found: what,
          expected: 'RDB with instantaneous or daily values',
          hint,
        },
      ],
    };
  }

  function readRow(from: number, to: number): void {
    const { width, site, datetime, zone: zoneColumn, values } = columns!;
    let cells = 0;
    let start = from;
    for (let i = from; i <= to && cells < width; i++) {
      if (i < to && text.charCodeAt(i) !== TAB) continue;
      starts[cells] = start;
      ends[cells++] = i;
      start = i + 1;
    }
    // Empty cells at the end (a trailing tab) carry nothing; anything else there means that the cells are shifted.
    if (start <= to && skipBlanks(text, start, to) < to) {
      log.add({
        code: 'row-shape',
        severity: 'warning',
        file: file.name,
        row: line,
        found: `more than ${width} cells`,
        expected: `${width} cells separated by tabs`,
        hint: 'Download the file again, or remove the row.',
      });
      return;
    }
    if (cells < width) {
      // Trailing empty cells may be cut off by an editor; a row that ends before its time is none.
      if (cells <= datetime || cells <= values[0]!.value) {
        log.add({
          code: 'row-shape',
          severity: 'warning',
          file: file.name,
          row: line,
          found: `${cells} cells`,
          expected: `${width} cells separated by tabs`,
          hint: 'Download the file again, or remove the row.',
        });
        return;
      }
      starts.fill(to, cells);
      ends.fill(to, cells);
    }
    if (!scanIso(text, starts[datetime]!, dropBlanks(text, starts[datetime]!, ends[datetime]!), iso)) {
      log.add({
        code: 'time-unreadable',
        severity: 'warning',
        file: file.name,
        row: line,
        column: 'datetime',
        found: `'${text.slice(starts[datetime], ends[datetime]).slice(0, 40)}'`,
        expected: 'a time such as 2024-04-28 14:30',
      });
      return;
    }
    let offsetMs = iso.offsetMs;
    if (zoneColumn >= 0 && !iso.dateOnly && ends[zoneColumn]! > starts[zoneColumn]!) {
      const code = share(text, starts[zoneColumn]!, ends[zoneColumn]!);
      if (code !== zone.code) {
        zone.code = code;
        zone.offsetMs = offsetOfZoneCode(code);
      }
      if (!(zone.offsetMs === zone.offsetMs)) {
        log.add({
          code: 'zone-unknown',
          severity: 'warning',
          file: file.name,
          row: line,
          column: 'tz_cd',
          found: `'${code}'`,
          expected: 'a zone code such as EST, EDT or UTC',
          hint: 'The row is not used, as its hour is not known.',
        });
        return;
      }
      offsetMs = zone.offsetMs;
    }
    const b = block!;
    if (b.n === b.timesMs.length) growBlock(b);
    const i = b.n++;
    const hasOffset = offsetMs === offsetMs;
    b.timesMs[i] = iso.dateOnly ? iso.localMs + HALF_DAY_MS : hasOffset ? iso.localMs - offsetMs : iso.localMs;
    b.local[i] = hasOffset ? 0 : 1;
    b.rows[i] = line;
    const lastSite = b.sites[b.sites.length - 1]?.site;
    if (
      site >= 0 &&
      (lastSite === undefined ||
        ends[site]! - starts[site]! !== lastSite.length ||
        !text.startsWith(lastSite, starts[site]))
    )
      b.sites.push({ site: share(text, starts[site]!, ends[site]!), from: i });
    for (let v = 0; v < values.length; v++) {
      const { value: valueCell, code: codeCell } = values[v]!;
      let code =
        codeCell < 0 ? '' : share(text, starts[codeCell]!, dropBlanks(text, starts[codeCell]!, ends[codeCell]!));
      let value = scanNumber(text, starts[valueCell]!, ends[valueCell]!);
      if (!(value > -99_999)) {
        const flagged = readFlaggedValue(text.slice(starts[valueCell]!, ends[valueCell]!).trim(), code);
        value = flagged.value;
        code = share(flagged.code, 0, flagged.code.length);
        if (flagged.unreadable) b.unreadable[v]!.set(i, text.slice(starts[valueCell]!, ends[valueCell]!).slice(0, 40));
      }
      b.values[v]![i] = value;
      b.codes[v]!.push(code);
    }
  }

  /** Turns the block's rows into one series a site and value column. */
  function closeBlock(): void {
    const b = block!;
    const { values } = columns!;
    settleTimes(
      { file: file.name, timesMs: b.timesMs, local: b.local, rows: b.rows, count: b.n, column: 'datetime' },
      clock,
      log,
    );
    const runs = b.sites.length > 0 ? b.sites : [{ site: '', from: 0 }];
    runs.forEach(({ site, from }, r) => {
      const to = runs[r + 1]?.from ?? b.n;
      values.forEach((column, v) => {
        const key = `${site} ${column.name}`.trim();
        const unreadable = new Map<number, string>();
        for (const [i, cell] of b.unreadable[v]!) if (i >= from && i < to) unreadable.set(i - from, cell);
        const piece = keepTimed({
          key,
          ...(site !== '' && { site }),
          column: column.name,
          ...column.identity,
          timesMs: b.timesMs.subarray(from, to),
          values: b.values[v]!.subarray(from, to),
          codes: runs.length === 1 ? b.codes[v]! : b.codes[v]!.slice(from, to),
          rows: b.rows.subarray(from, to),
          unreadable,
          tellsApproval: true,
        });
        const pieces = found.get(key);
        if (pieces === undefined) found.set(key, [piece]);
        else pieces.push(piece);
      });
    });
    block = undefined;
    columns = undefined;
    comments = [];
  }
}

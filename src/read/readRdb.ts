import type { Gauge } from '../series/creek.js';
import type { RawSeries } from '../series/gaugeRecord.js';
import type { IsoTime } from '../series/isoTime.js';
import { scanIso } from '../series/isoTime.js';
import { zoneClock } from '../series/time.js';
import { datumNotes } from './datumNotes.js';
import { issueLog } from './issueLog.js';
import { joinSeries } from './joinSeries.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import { blockSeries, growBlock, newBlock, type RdbBlock } from './rdbBlock.js';
import { notATimeSeries, rdbColumns, type RdbColumns } from './rdbHeader.js';
import { readFlaggedValue } from './rdbValue.js';
import { offsetOfZoneCode } from './rdbZones.js';
import { dropBlanks, scanNumber, sharedStrings, skipBlanks } from './scanText.js';
import { DAY, LOCAL } from './settleTimes.js';
import { tableText } from './tableText.js';
import type { GaugeRead, NamedFile } from './types.js';

const HALF_DAY_MS = 43_200_000;
const TAB = 9;
/** Remarks on a datum that are kept. */
const MOST_REMARKS = 20;

/**
 * Reads tab-delimited RDB: blocks of comment lines, a header row, a type row and data rows; any number of blocks, sites and value columns.
 * A value column is one that has a code column (`01_00060` and `01_00060_cd`); each site and value column is a series with the key `site
 * column`.
 *
 * Times take the offset of their row's `tz_cd`; rows without one are local in the gauge's zone. A row with a date alone is the mean of that
 * local day and is put at its noon. `-999999`, `Ice`, `Eqp`, `***` and their like are NaN; the flag joins the row's code (`P:Ice`), also
 * where it is glued to a number.
 *
 * @returns no series and one fatal sentence for RDB that holds no time series (peaks, ratings, site lists, measurements)
 */
export function readRdb(file: NamedFile, gauge: Gauge, defaultZone: string): GaugeRead {
  const table = tableText(file, { encoding: 'latin1' });
  if ('issue' in table) return { series: [], issues: [table.issue] };
  const { text } = table;
  const log = issueLog();
  const clock = zoneClock(gauge.timeZone ?? defaultZone);
  const share = sharedStrings();
  const found = new Map<string, RawSeries[]>();
  const siteIndices = new Map<string, number>();
  const remarks: string[] = [];
  let comments: string[] = [];
  let blocks = 0;
  let lastWidth = 0;
  let readings = 0;
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
      const comment = text.slice(from, to);
      comments.push(comment);
      if (remarks.length < MOST_REMARKS) remarks.push(...(datumNotes([comment]).datumNotes ?? []));
      continue;
    }
    if (columns !== undefined && block !== undefined && !text.startsWith('agency_cd\t', from)) {
      readRow(from, to);
      if (readings > LIMITS.readings || block.sites.length * columns.values.length > LIMITS.series) break;
      continue;
    }
    if (skipBlanks(text, from, to) === to) continue;
    if (block !== undefined) closeBlock();
    // Header row, then type row.
    const header = text.slice(from, to).split('\t');
    lastWidth = header.length;
    if (lastWidth > LIMITS.columns || ++blocks > LIMITS.rdbBlocks || found.size > LIMITS.series) break;
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
  const above = aboveLimit();
  if (above !== undefined) return { series: [], issues: [limitIssue(file.name, { row: line, ...above })] };
  if (block !== undefined) closeBlock();
  else if (found.size === 0) {
    const nothing = comments.find((comment) => /no (sites|data)/i.test(comment));
    return refused(
      'not-a-time-series',
      undefined,
      nothing === undefined ? 'no table' : `the note '${nothing.replace(/^#\s*/, '').trim().slice(0, 200)}'`,
      'The download holds no data: check site, parameter and dates.',
    );
  }
  const notes = remarks.length === 0 ? {} : { datumNotes: Object.freeze(remarks) };
  return {
    series: [...found.values()].map((pieces) => Object.freeze({ ...joinSeries(pieces), ...notes })),
    issues: log.issues(),
  };

  function aboveLimit(): { found: string; most: string; hint: string } | undefined {
    const hint = 'Ask for fewer sites, parameters or years at a time, and list several files under files.';
    if (lastWidth > LIMITS.columns)
      return { found: `${inThousands(lastWidth)} columns`, most: inThousands(LIMITS.columns), hint };
    if (blocks > LIMITS.rdbBlocks)
      return { found: `more than ${inThousands(LIMITS.rdbBlocks)} header rows`, most: 'that many', hint };
    if (readings > LIMITS.readings)
      return { found: `more than ${inThousands(LIMITS.readings)} readings`, most: 'that many', hint };
    if (found.size > LIMITS.series || (block?.sites.length ?? 0) * (columns?.values.length ?? 0) > LIMITS.series)
      return { found: `more than ${inThousands(LIMITS.series)} series`, most: 'that many', hint };
    return undefined;
  }

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
    b.timesMs[i] = iso.localMs + (iso.dateOnly ? HALF_DAY_MS : 0) - (hasOffset ? offsetMs : 0);
    b.kind[i] = (hasOffset ? 0 : LOCAL) + (iso.dateOnly ? DAY : 0);
    b.rows[i] = line;
    readings += values.length;
    if (site >= 0) b.siteOf[i] = siteIndex(b, starts[site]!, ends[site]!);
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

  /** The row's site among those of the block; nearly always the one of the row before. */
  function siteIndex(b: RdbBlock, from: number, to: number): number {
    const before = b.n > 1 ? b.siteOf[b.n - 2]! : -1;
    const last = b.sites[before];
    if (last !== undefined && to - from === last.length && text.startsWith(last, from)) return before;
    const site = share(text, from, to);
    const known = siteIndices.get(site);
    if (known !== undefined) return known;
    siteIndices.set(site, b.sites.length);
    return b.sites.push(site) - 1;
  }

  /** Turns the block's rows into one series a site and value column. */
  function closeBlock(): void {
    for (const piece of blockSeries(block!, columns!.values, { file: file.name, clock, log })) {
      // Daily values under the name of instantaneous ones are a series of their own.
      const first = found.get(piece.key)?.[0];
      const another =
        first !== undefined &&
        first.timesMs.length > 0 &&
        piece.timesMs.length > 0 &&
        !first.dayMeans !== !piece.dayMeans;
      const key = another ? `${piece.key} (${piece.dayMeans ? 'daily' : 'instantaneous'})` : piece.key;
      const pieces = found.get(key);
      // A block without rows says nothing of its kind.
      if (pieces === undefined || pieces[0]!.timesMs.length === 0) found.set(key, [{ ...piece, key }]);
      else if (piece.timesMs.length > 0) pieces.push(piece);
    }
    block = undefined;
    columns = undefined;
    comments = [];
    siteIndices.clear();
  }
}

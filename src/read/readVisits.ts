import { parse } from 'csv-parse/sync';
import type { Creek } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import type { Sighting, Visit } from '../series/visits.js';

import { groupVisits, type LoggedSighting } from './groupVisits.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import { didYouMean, nearestWord } from './nearestWord.js';
import { readSighting, type SightingCells } from './readSighting.js';
import { tableText } from './tableText.js';
import { translateVerdicts } from './translateVerdicts.js';
import type { NamedFile } from './types.js';

/** What a visits.csv holds, and what of it could not be used. */
export interface VisitsRead {
  /** Sorted by time, then id. */
  readonly visits: readonly Visit[];
  readonly issues: readonly Issue[];
  /** Data rows in the file: those used and those listed as warnings add up to it. */
  readonly sightingRows: number;
  readonly sightingsUsed: number;
}

const REQUIRED = ['when', 'run', 'feature', 'saw', 'observer'] as const;
const OPTIONAL = ['visit', 'give_or_take_min', 'note'] as const;
const ALL = ['visit', 'when', 'give_or_take_min', 'run', 'feature', 'saw', 'observer', 'note'] as const;

/**
 * Reads visits.csv: comma-separated UTF-8 text, one row a sighting, the first row naming the columns (any order, any case). Cells may be quoted and
 * then hold commas and line breaks. Lines that begin with `#` are comments. Times are ISO 8601; without an offset they are local in the creek's zone.
 *
 * Every row that is not used comes back as a warning with its line, column, what was expected and what to do. For a run without any verdict row
 * the creek's `verdictFrom` puts a translated verdict in place of each sighting of its feature.
 *
 * @example readVisits({ name: 'visits.csv', bytes }, creek).visits[0].sightings[0].classIndex
 */
export function readVisits(file: NamedFile, creek: Creek): VisitsRead {
  const decoded = tableText(file, { mostBytes: LIMITS.visitsBytes });
  if ('issue' in decoded) return nothing([decoded.issue]);
  const table = parseTable(file.name, decoded.text);
  if ('issue' in table) return nothing([table.issue]);
  const above = aboveLimit(file.name, table.rows);
  if (above !== undefined) return nothing([above]);
  const header = readHeader(file.name, table.rows[0]);
  if (header.fatal) return nothing(header.issues);

  const issues: Issue[] = [...header.issues];
  const clock = zoneClock(creek.timeZone);
  const logged: LoggedSighting[] = [];
  const seen = new Map<string, number>();
  let sightingRows = 0;
  for (const { cells, row } of table.rows.slice(1)) {
    if (cells.every((cell) => cell.trim() === '')) continue;
    sightingRows++;
    const overflow = cells.slice(header.width).filter((cell) => cell.trim() !== '');
    if (overflow.length > 0) {
      issues.push({
        code: 'row-shape',
        severity: 'warning',
        file: file.name,
        row,
        found: `${cells.length} cells`,
        expected: `${header.width}, as in the first row`,
        hint: 'Put a cell that holds a comma in double quotes.',
      });
      continue;
    }
    const swallowed = rowsInside(cells, header.width);
    if (swallowed > 0) {
      issues.push({
        code: 'row-shape',
        severity: 'warning',
        file: file.name,
        row,
        found: `a quoted cell over ${swallowed + 1} lines that look like rows of their own`,
        expected: 'a double quote that is closed in its row',
        hint: 'Close the quote, or write a quote inside a cell twice. None of these lines is used.',
      });
      continue;
    }
    const same = JSON.stringify(Array.from({ length: header.width }, (_, i) => (cells[i] ?? '').trim()));
    const first = seen.get(same);
    if (first !== undefined) {
      issues.push({
        code: 'duplicate-row',
        severity: 'warning',
        file: file.name,
        row,
        found: `the same cells as row ${first}`,
        expected: 'each sighting once',
        hint: 'It is used once. Delete one of the two rows.',
      });
      continue;
    }
    seen.set(same, row);
    const named = Object.fromEntries(ALL.map((column) => [column, (cells[header.at[column]] ?? '').trim()]));
    const read = readSighting(named as unknown as SightingCells, { file: file.name, row, creek, clock });
    issues.push(...read.issues);
    if (read.sighting !== undefined) logged.push({ sighting: read.sighting, visit: named.visit! });
  }
  const translated = translateVerdicts(
    logged.map((entry) => entry.sighting),
    creek,
    file.name,
  );
  const grouped = groupVisits(
    logged.map((entry, i) => ({ visit: entry.visit, sighting: translated.sightings[i] as Sighting })),
    clock,
    file.name,
  );
  issues.push(...translated.issues, ...grouped.issues);
  issues.sort((a, b) => (a.row ?? 0) - (b.row ?? 0));
  return Object.freeze({
    visits: grouped.visits,
    issues: Object.freeze(issues.map((issue) => Object.freeze(issue))),
    sightingRows,
    sightingsUsed: logged.length,
  });
}

function nothing(issues: readonly Issue[]): VisitsRead {
  return Object.freeze({ visits: Object.freeze([]), issues: Object.freeze(issues), sightingRows: 0, sightingsUsed: 0 });
}

function aboveLimit(file: string, rows: readonly TableRow[]): Issue | undefined {
  const columns = rows[0]?.cells.length ?? 0;
  if (columns > LIMITS.columns)
    return limitIssue(file, {
      row: rows[0]!.row,
      found: `${inThousands(columns)} columns`,
      most: inThousands(LIMITS.columns),
      hint: 'Delete the columns that nothing reads.',
    });
  if (rows.length - 1 > LIMITS.sightingRows)
    return limitIssue(file, {
      found: `more than ${inThousands(LIMITS.sightingRows)} rows`,
      most: 'that many',
      hint: 'Make a creek folder for each run, or leave out old seasons.',
    });
  return undefined;
}

/** Lines inside quoted cells that have as many commas as a row: a quote that was left open has taken them in. */
function rowsInside(cells: readonly string[], width: number): number {
  let rows = 0;
  for (const cell of cells)
    if (cell.includes('\n'))
      for (const line of cell.split('\n').slice(1)) if (line.split(',').length >= Math.max(width - 1, 3)) rows++;
  return rows;
}

interface TableRow {
  readonly cells: readonly string[];
  /** 1-based line on which the row begins. */
  readonly row: number;
}

/** Cells and first lines of all rows. */
function parseTable(file: string, text: string): { readonly rows: readonly TableRow[] } | { readonly issue: Issue } {
  const plain = text.includes('\r') ? text.replaceAll('\r\n', '\n') : text;
  try {
    const records = parse(plain, {
      bom: true,
      info: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      record_delimiter: '\n',
      comment: '#',
      comment_no_infix: true,
      // The header, as many rows as are read, and one more that tells of others.
      to: LIMITS.sightingRows + 2,
    }) as unknown as { record: string[]; info: { lines: number } }[];
    return {
      rows: records.map(({ record, info }) => ({
        cells: record,
        row: info.lines - record.reduce((breaks, cell) => breaks + cell.split('\n').length - 1, 0),
      })),
    };
  } catch (error) {
    const { code, lines, message } = error as { code?: string; lines?: number; message: string };
    const open = code === 'CSV_QUOTE_NOT_CLOSED';
    return {
      issue: {
        code: 'file-unreadable',
        severity: 'fatal',
        file,
        row: open ? openQuoteLine(plain) : lines,
        found: open ? 'a double quote that is never closed' : message,
        expected: 'comma-separated text',
        hint: open ? 'Close the quote, or write a quote inside a cell twice.' : 'Save the table again as CSV.',
      },
    };
  }
}

/** The last line on which the number of quotes so far turns odd and stays so. */
function openQuoteLine(text: string): number {
  let line = 1;
  let opened = 1;
  let open = false;
  for (const char of text) {
    if (char === '\n') line++;
    if (char !== '"') continue;
    open = !open;
    if (open) opened = line;
  }
  return opened;
}

interface Header {
  readonly at: Readonly<Record<(typeof ALL)[number], number>>;
  readonly width: number;
  readonly fatal: boolean;
  readonly issues: readonly Issue[];
}

function readHeader(file: string, first: TableRow | undefined): Header {
  const names = (first?.cells ?? []).map((cell) => cell.trim().toLowerCase());
  const at = Object.fromEntries(ALL.map((column) => [column, names.indexOf(column)])) as Header['at'];
  const row = first?.row ?? 1;
  const fatal = (issue: Pick<Issue, 'code' | 'found' | 'expected' | 'hint'> & { column?: string }): Issue => ({
    severity: 'fatal',
    file,
    row,
    ...issue,
  });
  const expected = `the columns ${ALL.join(', ')} (${OPTIONAL.join(', ')} may be left out)`;
  const other = [';', '\t'].find((mark) => names.length === 1 && names[0]!.includes(mark));
  if (other !== undefined)
    return wrong(
      fatal({
        code: 'wrong-format',
        found: `a table separated by ${other === ';' ? 'semicolons' : 'tabs'}`,
        expected: 'commas between the cells',
        hint: 'Save it as CSV with commas; numbers then have a decimal point.',
      }),
    );
  const twice = names.find((name, i) => name !== '' && names.indexOf(name) < i);
  if (twice !== undefined)
    return wrong(
      fatal({
        code: 'wrong-format',
        column: twice,
        found: `two columns named '${twice}'`,
        expected,
        hint: 'Rename or delete one.',
      }),
    );
  const unknown = names.filter((name) => name !== '' && !(ALL as readonly string[]).includes(name));
  const missing = REQUIRED.filter((column) => at[column] < 0);
  if (missing.length > 0)
    return wrong(
      ...missing.map((column) => {
        const near = nearestWord(column, unknown);
        const hint =
          near === undefined
            ? 'Give the first row of the file these column names.'
            : `Did you mean '${column}' where the file has '${near}'?`;
        return fatal({
          code: 'column-missing',
          column,
          found: names.length === 0 ? 'an empty file' : `columns ${names.join(', ')}`,
          expected,
          hint,
        });
      }),
    );
  // A column of the user's own is fine; one that looks like a misspelt optional column would be lost without a word.
  const notes = unknown.flatMap((name): Issue[] => {
    const hint = didYouMean(
      name,
      OPTIONAL.filter((column) => at[column] < 0),
    );
    return hint === undefined
      ? []
      : [
          {
            code: 'column-missing',
            severity: 'note',
            file,
            row,
            column: name,
            found: `a column '${name}' that is not read`,
            expected,
            hint,
          },
        ];
  });
  return { at, width: names.length, fatal: false, issues: notes };

  function wrong(...issues: Issue[]): Header {
    return { at, width: names.length, fatal: true, issues };
  }
}

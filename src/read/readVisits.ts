import type { Creek, TripLog } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import type { Visit } from '../series/visits.js';

import { groupVisits, type LoggedSighting } from './groupVisits.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import { didYouMean, nearestWord } from './nearestWord.js';
import { readSighting, type SightingCells } from './readSighting.js';
import { logTable, rowShapes, type LogRow, type LogTable } from './logTable.js';
import { tableText } from './tableText.js';
import { translateVerdicts } from './translateVerdicts.js';
import { tripLogLayout } from './tripLogLayout.js';
import type { NamedFile } from './types.js';

/** What a visits.csv holds, and what of it could not be used. */
export interface VisitsRead {
  /** Sorted by time, then id. */
  readonly visits: readonly Visit[];
  readonly issues: readonly Issue[];
  /** Data rows in the file: those used and those listed as warnings add up to it. */
  readonly sightingRows: number;
  readonly sightingsUsed: number;
  /** Lines that are comments. */
  readonly comments: number;
}

const REQUIRED = ['when', 'run', 'feature', 'saw', 'observer'] as const;
const OPTIONAL = ['visit', 'give_or_take_min', 'note'] as const;
const ALL = ['visit', 'when', 'give_or_take_min', 'run', 'feature', 'saw', 'observer', 'note'] as const;

/**
 * Reads visits.csv: comma-separated UTF-8 text, one row a sighting, the first row naming the columns (any order, any case). Cells may be
 * quoted and then hold commas and line breaks. Lines that begin with `#` are comments and counted; one that has the cells of a row and no
 * blank behind the mark is listed. Times are ISO 8601; without an offset they are local in the creek's zone.
 *
 * Every row that is not used comes back as a warning with its line, column, what was expected and what to do. For a run without any verdict
 * row the creek's `verdictFrom` puts a translated verdict in place of each sighting of its feature.
 *
 * @example readVisits({ name: 'visits.csv', bytes }, creek).visits[0].sightings[0].classIndex
 */
export function readVisits(file: NamedFile, creek: Creek): VisitsRead {
  return visitsOf([readLog(file, creek)], creek, file.name);
}

/** visits.csv (left out where there is none beside spreadsheets) and every spreadsheet of the creek that is at hand, as one log. */
export function readLogs(visits: NamedFile | undefined, tripLogs: readonly NamedFile[], creek: Creek): VisitsRead {
  const mapped = (creek.tripLogs ?? []).map((log) => {
    const file = tripLogs.find(({ name }) => name === log.file);
    return file === undefined ? noFile(log) : readLog(file, creek, log);
  });
  return visitsOf(
    [...(visits === undefined ? [] : [readLog(visits, creek)]), ...mapped],
    creek,
    logName(visits, creek),
  );
}

/** The file that is named where an issue is the whole log's. */
export function logName(visits: NamedFile | undefined, { tripLogs = [] }: Creek): string {
  return visits?.name ?? tripLogs[0]?.file ?? 'visits.csv';
}

/** A sighting's cells with the file's own names of the columns, or why the row has none. */
export type SightingOfRow =
  | { readonly cells: SightingCells; readonly names?: Readonly<Partial<Record<string, string | undefined>>> }
  | { readonly issue: Issue };

/** How the rows of a log hold sightings. */
export interface RowLayout {
  readonly width: number;
  /** Columns in which a stray quote matters, by index, with their names. */
  readonly named: ReadonlyMap<number, string>;
  readonly sightings: (cells: readonly string[], row: number) => readonly SightingOfRow[];
}

/** What one file holds. */
interface LogPart {
  readonly logged: readonly LoggedSighting[];
  readonly issues: readonly Issue[];
  readonly rows: number;
  readonly rowsUsed: number;
  readonly comments: number;
}

function readLog(file: NamedFile, creek: Creek, log?: TripLog): LogPart {
  const decoded = tableText(file, { mostBytes: LIMITS.visitsBytes, ...(log && { encoding: log.encoding }) });
  if ('issue' in decoded) return nothing([decoded.issue]);
  const table = logTable(decoded, log ?? { comment: '#', least: REQUIRED.length });
  const above = aboveLimit(file.name, table.rows);
  if (above !== undefined) return nothing([above]);
  const layout = log === undefined ? visitsLayout(file.name, table.rows[0]) : tripLogLayout(log, creek, table);
  return 'sightings' in layout ? readRows(file.name, table, layout, creek) : nothing(layout.issues);
}

function readRows(
  file: string,
  table: LogTable,
  layout: RowLayout & { issues?: readonly Issue[] },
  creek: Creek,
): LogPart {
  const issues: Issue[] = [...(layout.issues ?? [])];
  const clock = zoneClock(creek.timeZone);
  const logged: LoggedSighting[] = [];
  const first = new Map<string, number>();
  const shapeOf = rowShapes(file, table, layout);
  let rows = 0;
  let rowsUsed = 0;
  for (const [i, { cells, row }] of table.rows.slice(1).entries()) {
    const shape = shapeOf(i) ?? twice(cells, row);
    const found = shape === undefined ? layout.sightings(cells, row) : [{ issue: shape }];
    rows += found.length;
    for (const one of found) {
      if ('issue' in one) {
        issues.push(one.issue);
        continue;
      }
      const { names } = one;
      const read = readSighting(one.cells, { file, row, creek, clock });
      for (const issue of read.issues) issues.push({ ...issue, ...rename(issue.column, names) });
      if (read.sightings.length > 0) rowsUsed++;
      for (const sighting of read.sightings)
        logged.push({ sighting: names === undefined ? sighting : { ...sighting, file }, visit: one.cells.visit });
    }
  }
  return { logged, issues, rows, rowsUsed, comments: table.comments };

  function twice(cells: readonly string[], row: number): Issue | undefined {
    const same = JSON.stringify(Array.from({ length: layout.width }, (_, i) => cells[i] ?? ''));
    const before = first.get(same);
    if (before === undefined) first.set(same, row);
    return before === undefined
      ? undefined
      : {
          code: 'duplicate-row',
          severity: 'warning',
          file,
          row,
          found: `the same cells as row ${before}`,
          expected: 'each sighting once',
          hint: 'It is used once. Delete one of the two rows.',
        };
  }
}

function rename(column: string | undefined, names: Readonly<Partial<Record<string, string | undefined>>> = {}) {
  const own = column === undefined ? undefined : names[column];
  return own === undefined ? {} : { column: own };
}

/** Sightings of all files as visits. */
function visitsOf(parts: readonly LogPart[], creek: Creek, name: string): VisitsRead {
  const logged = parts.flatMap((part) => part.logged);
  const translated = translateVerdicts(
    logged.map((entry) => entry.sighting),
    creek,
    name,
  );
  const grouped = groupVisits(
    logged.map((entry, i) => ({ visit: entry.visit, sighting: Object.freeze(translated.sightings[i]!) })),
    zoneClock(creek.timeZone),
    name,
  );
  const issues = [...parts.flatMap((part) => part.issues), ...translated.issues, ...grouped.issues];
  issues.sort((a, b) => (a.file === b.file ? (a.row ?? 0) - (b.row ?? 0) : 0));
  const sum = (of: (part: LogPart) => number) => parts.reduce((total, part) => total + of(part), 0);
  return Object.freeze({
    visits: grouped.visits,
    issues: Object.freeze(issues.map((issue) => Object.freeze(issue))),
    sightingRows: sum(({ rows }) => rows),
    sightingsUsed: sum(({ rowsUsed }) => rowsUsed),
    comments: sum(({ comments }) => comments),
  });
}

function nothing(issues: readonly Issue[]): LogPart {
  return { logged: [], issues, rows: 0, rowsUsed: 0, comments: 0 };
}

function noFile({ file }: TripLog): LogPart {
  return nothing([
    {
      code: 'file-missing',
      severity: 'fatal',
      file,
      found: 'no such file',
      expected: 'a spreadsheet of visits',
      hint: 'Put it there, or correct tripLogs in creek.json.',
    },
  ]);
}

function aboveLimit(file: string, rows: readonly LogRow[]): Issue | undefined {
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

interface Header {
  readonly at: Readonly<Record<(typeof ALL)[number], number>>;
  readonly width: number;
  readonly fatal: boolean;
  readonly issues: readonly Issue[];
}

function visitsLayout(file: string, first: LogRow | undefined): (RowLayout & Header) | Pick<Header, 'issues'> {
  const header = readHeader(file, first);
  if (header.fatal) return { issues: header.issues };
  const { at } = header;
  const named = new Map(
    ALL.filter((column) => column !== 'note' && at[column] >= 0).map((column) => [at[column], column]),
  );
  const cellsOf = (cells: readonly string[]) =>
    Object.fromEntries(ALL.map((column) => [column, cells[at[column]] ?? ''])) as unknown as SightingCells;
  return { ...header, named, sightings: (cells) => [{ cells: cellsOf(cells) }] };
}

function readHeader(file: string, first: LogRow | undefined): Header {
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
        hint: 'Save it as CSV with commas and decimal points, or keep it as it is beside visits.csv: sightstage adopt <file> <folder>.',
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
  if (first === undefined)
    return wrong(
      fatal({
        code: 'column-missing',
        found: 'an empty file',
        expected,
        hint: 'Begin with a row of these names, then one row a sighting.',
      }),
    );
  if (missing.length > 0)
    return wrong(
      ...missing.map((column) => {
        const near = nearestWord(column, unknown);
        const hint =
          near === undefined
            ? 'Give the first row of the file these column names, or keep it as it is: sightstage adopt <file> <folder>.'
            : `Did you mean '${column}' where the file has '${near}'?`;
        return fatal({
          code: 'column-missing',
          column,
          found: `columns ${names.join(', ')}`,
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

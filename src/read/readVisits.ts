import type { Creek } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { zoneClock } from '../series/time.js';
import type { Sighting, Visit } from '../series/visits.js';

import { groupVisits, type LoggedSighting } from './groupVisits.js';
import { inThousands, LIMITS, limitIssue } from './limits.js';
import { didYouMean, nearestWord } from './nearestWord.js';
import { readSighting, type SightingCells } from './readSighting.js';
import { cutIssue, shapeIssue, tableRows, usualCells } from './tableRows.js';
import { tableText, type TableText } from './tableText.js';
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
 * Every row that is not used comes back as a warning with its line, column, what was expected and what to do. For a run without any verdict row
 * the creek's `verdictFrom` puts a translated verdict in place of each sighting of its feature.
 *
 * @example readVisits({ name: 'visits.csv', bytes }, creek).visits[0].sightings[0].classIndex
 */
export function readVisits(file: NamedFile, creek: Creek): VisitsRead {
  const decoded = tableText(file, { mostBytes: LIMITS.visitsBytes });
  if ('issue' in decoded) return nothing([decoded.issue]);
  const table = cutLog(decoded);
  const above = aboveLimit(file.name, table.rows);
  if (above !== undefined) return nothing([above]);
  const header = readHeader(file.name, table.rows[0]);
  if (header.fatal) return nothing(header.issues);

  const issues: Issue[] = [...header.issues];
  const clock = zoneClock(creek.timeZone);
  const logged: LoggedSighting[] = [];
  const seen = new Map<string, number>();
  let sightingRows = 0;
  const rows = table.rows
    .slice(1)
    .filter(({ cells, problem }) => problem !== undefined || cells.some((cell) => cell !== ''));
  const usual = usualCells(
    rows.map(({ cells }) => cells.length),
    rows.length,
    header.width,
  );
  for (const [i, { cells, row, problem }] of rows.entries()) {
    sightingRows++;
    const shape = problem?.(file.name) ?? oddShape(i);
    if (shape !== undefined) {
      issues.push(shape);
      continue;
    }
    const same = JSON.stringify(Array.from({ length: header.width }, (_, i) => cells[i] ?? ''));
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
    const named = Object.fromEntries(ALL.map((column) => [column, cells[header.at[column]] ?? '']));
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
    comments: table.comments,
  });

  /** What is wrong with the number of a row's cells; which of them are missing nobody can say. */
  function oddShape(i: number): Issue | undefined {
    const { cells, row, marks } = rows[i]!;
    const at = { file: file.name, line: row };
    const found = `${cells.length} cells`;
    if (cells.slice(header.width).some((cell) => cell !== ''))
      return shapeIssue(
        at,
        found,
        `${header.width}, as in the first row`,
        'Put a cell that holds a comma in double quotes.',
      );
    const quote = ALL.find((column) => column !== 'note' && marks.includes(header.at[column]));
    if (quote !== undefined)
      return {
        ...shapeIssue(
          at,
          'a double quote inside a cell',
          'a cell without one, or in quotes',
          'Delete the quote, or put the cell in quotes and write it twice.',
        ),
        column: quote,
      };
    if (!usual(cells.length) && cells.length < header.width)
      return shapeIssue(
        at,
        found,
        `${header.width}, as in the first row and in the other rows`,
        'An empty cell is written as nothing between two commas.',
      );
    if (rows[i - 1]?.cells.length === 1 && rows[i - 1]!.row === row - 1 && rows[i - 1]!.problem === undefined)
      return shapeIssue(
        at,
        'a row after a line of one cell',
        'a row in a line',
        'The line before may be its beginning. Join the two, or delete the line before.',
      );
    if (table.cut && i === rows.length - 1 && cells.length < header.width)
      return shapeIssue(
        at,
        'a last row that does not end',
        `${header.width} cells, or a line break`,
        'The file may have been cut off. If the row is whole, put a line break after it.',
      );
    return undefined;
  }
}

function nothing(issues: readonly Issue[]): VisitsRead {
  return Object.freeze({
    visits: Object.freeze([]),
    issues: Object.freeze(issues),
    sightingRows: 0,
    sightingsUsed: 0,
    comments: 0,
  });
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

interface TableRow {
  readonly cells: readonly string[];
  /** 1-based line on which the row begins. */
  readonly row: number;
  /** Cells that hold a quote and do not stand in quotes. */
  readonly marks: readonly number[];
  /** Why the row cannot be used whatever its cells say. */
  readonly problem?: (file: string) => Issue;
}

interface LogTable {
  readonly rows: readonly TableRow[];
  readonly comments: number;
  /** The last line has no line break. */
  readonly cut: boolean;
}

/** Cells and first lines of all rows, the header's first; one row more than is read tells of others. */
function cutLog({ text }: TableText): LogTable {
  const rows: TableRow[] = [];
  const width = () => rows[0]?.cells.length ?? 0;
  const table = tableRows(text, {
    delimiter: ',',
    most: LIMITS.columns + 1,
    at: 0,
    line: 1,
    comment: '#',
    isRow: (line) => line.split(',').length >= Math.max(width() - 1, REQUIRED.length),
  });
  for (
    let record = table.next();
    record !== undefined && rows.length < LIMITS.sightingRows + 2;
    record = table.next()
  ) {
    const row = table.line();
    const cells = Array.from({ length: Math.min(record.cells, LIMITS.columns + 1) }, (_, i) =>
      text.slice(table.starts[i], table.ends[i]).replaceAll('""', '"').replaceAll('\r\n', '\n').trim(),
    );
    const { ...cut } = record;
    const marks = [...cells.keys()].filter((i) => cells[i]!.includes('"') && !quotedAt(table.starts[i]!));
    rows.push({
      cells,
      row,
      marks,
      ...(cut.problem !== '' && { problem: (file: string) => cutIssue(file, row, cut) }),
    });
  }
  /** Whether the cell that begins here stands in quotes. */
  function quotedAt(start: number): boolean {
    return /"\s*$/.test(text.slice(Math.max(0, start - 10), start));
  }
  return { rows, comments: table.comments(), cut: !text.endsWith('\n') };
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
            ? 'Give the first row of the file these column names.'
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

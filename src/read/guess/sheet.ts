import { decodeText } from '../decodeText.js';
import { logTable } from '../logTable.js';
import type { NamedFile } from '../types.js';
import type { Issue } from '../../series/issue.js';
import type { TableLayout } from '../../series/creek.js';
import { oneBlank } from '../recordCutter.js';
import { tableText } from '../tableText.js';

/** A text table cut into columns, with how it is written. */
export interface Sheet {
  readonly layout: Required<Pick<TableLayout, 'delimiter' | 'encoding' | 'skipLines'>>;
  readonly columns: readonly SheetColumn[];
  /** What stands before the header row. */
  readonly before: string;
  readonly rows: number;
}

export interface SheetColumn {
  readonly name: string;
  /** Cells of all rows, '' where empty. */
  readonly cells: readonly string[];
}

const DELIMITERS = [',', ';', '\t', '|'];

/** Cuts a text table by its own looks: encoding, delimiter and header row; or the issue of a file that is none. */
export function readSheet(file: NamedFile): Sheet | { readonly issue: Issue } {
  const encoding = 'issue' in decodeText(file) ? 'latin1' : 'utf-8';
  const text = tableText(file, { encoding });
  if ('issue' in text) return text;
  const tables = DELIMITERS.map((delimiter) => {
    const { rows } = logTable(text, { delimiter });
    const counts = rows.slice(0, 500).map(({ cells }) => cells.length);
    const usual = mode(counts.map(String));
    const alike = counts.filter((count) => String(count) === usual).length / counts.length;
    return { delimiter, rows, width: Number(usual), worth: usual === '1' ? 0 : alike * Math.min(Number(usual), 6) };
  });
  const { delimiter, rows, width } = tables.reduce((best, one) => (one.worth > best.worth ? one : best));
  const named = [width, width - 1].map((least) => rows.slice(0, 60).findIndex(({ cells }) => isHeader(cells, least)));
  const first = named.find((at) => at >= 0) ?? -1;
  const issue: Issue = {
    code: 'wrong-format',
    severity: 'fatal',
    file: file.name,
    found: 'no header row that names columns',
    expected: 'a table of text with its columns named in one row',
    hint: 'Export the sheet as CSV with its header row.',
  };
  if (first < 0 || rows.length < first + 2) return { issue };
  const { cells: header, row } = rows[first]!;
  const data = rows.slice(first + 1).filter(({ cells }) => cells.some((cell) => cell !== ''));
  return {
    layout: { delimiter, encoding, skipLines: row - 1 },
    columns: header.flatMap((name, i) =>
      name === '' ? [] : [{ name: oneBlank(name), cells: data.map(({ cells }) => oneBlank(cells[i] ?? '')) }],
    ),
    before: text.text.split('\n', row - 1).join('\n'),
    rows: data.length,
  };
}

/** At least so many names, and no number or date among them. */
function isHeader(cells: readonly string[], least: number): boolean {
  const named = cells.filter((cell) => cell !== '');
  return named.length >= Math.max(2, least) && named.every((cell) => !/^[\d.,:/ +-]+$/.test(cell));
}

/** The most frequent word; '' of none. */
export function mode(words: readonly string[]): string {
  return counts(words)[0]?.[0] ?? '';
}

/** Words with how often they stand there, the most frequent first. */
export function counts(words: readonly string[]): readonly (readonly [word: string, times: number])[] {
  const times = new Map<string, number>();
  for (const word of words) if (word !== '') times.set(word, (times.get(word) ?? 0) + 1);
  return [...times].sort((a, b) => b[1] - a[1]);
}

/** The share of the cells that hold something for which this is so; 0 where none does. */
export function shareOf(cells: readonly string[], is: (cell: string) => boolean): number {
  const full = cells.filter((cell) => cell !== '');
  return full.length === 0 ? 0 : full.filter(is).length / full.length;
}

/** The name without accents, in small letters: as header words are compared. */
export function bareName(name: string): string {
  return name.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
}

/** An id for a name, not among those taken. */
export function idFor(name: string, taken: readonly string[] = []): string {
  const bare = bareName(name)
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40);
  const id = bare === '' ? 'x' : bare;
  for (let n = 1; ; n++) {
    const free = n === 1 ? id : `${id}-${n}`;
    if (!taken.includes(free)) return free;
  }
}

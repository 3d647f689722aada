import { open, readFile, rm, mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { logTable } from '../../read/logTable.js';
import { oneBlank } from '../../read/recordCutter.js';
import type { SightingCells } from '../../read/readSighting.js';
import { tableText } from '../../read/tableText.js';
import { issueSentence } from '../../series/issue.js';
import { WrongUse } from '../cli/exitCodes.js';
import { plainText } from '../text/plainText.js';
import { nodeFiles } from '../write/fileOps.js';
import { takeLock } from '../write/folderLock.js';
import { processMark } from '../write/processMark.js';

export const VISIT_COLUMNS = [
  'visit',
  'when',
  'give_or_take_min',
  'run',
  'feature',
  'saw',
  'observer',
  'note',
] as const;
/** Two rows that agree in these are one sighting. */
const SAME = ['when', 'run', 'feature', 'saw', 'observer'] as const;

export interface Appended {
  readonly added: readonly SightingCells[];
  /** Those that stood in the log before. */
  readonly there: readonly SightingCells[];
}

/**
 * Adds sightings at the end of a folder's visits.csv, in the order of its own columns: in one write that is on the disk before this
 * returns, under a lock that shuts out a second writer, and none that stands there already. Without a visits.csv one is begun.
 * @throws WrongUse where visits.csv cannot be read or lacks a column; nothing is written then
 */
export async function appendVisits(folder: string, sightings: readonly SightingCells[]): Promise<Appended> {
  const mark = processMark();
  const scratch = join(folder, `.sightstage-${mark}`);
  await mkdir(scratch);
  try {
    const giveBack = await takeLock(folder, '.sightstage-log', { fs: nodeFiles, mark, scratch });
    try {
      return await append(join(folder, 'visits.csv'), sightings);
    } finally {
      await giveBack();
    }
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

async function append(path: string, sightings: readonly SightingCells[]): Promise<Appended> {
  const { columns, rows, start } = await readLog(path);
  const known = new Set(rows.map(keyOf));
  const added: SightingCells[] = [];
  const there: SightingCells[] = [];
  for (const one of sightings) {
    (known.has(keyOf(one)) ? there : added).push(one);
    known.add(keyOf(one));
  }
  if (added.length === 0) return { added, there };
  const lines = added.map((one) =>
    columns.map((column) => cellText(one[column as keyof SightingCells] ?? '')).join(','),
  );
  const file = await open(path, 'a');
  try {
    await file.appendFile(`${start}${lines.join('\n')}\n`);
    await file.sync();
  } finally {
    await file.close();
  }
  return { added, there };
}

/** The columns and rows of the log as it stands, and what comes before a new line. */
async function readLog(path: string): Promise<{ columns: readonly string[]; rows: SightingCells[]; start: string }> {
  const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return undefined;
    throw error;
  });
  if (bytes === undefined || bytes.length === 0)
    return { columns: VISIT_COLUMNS, rows: [], start: `${VISIT_COLUMNS.join(',')}\n` };
  const text = tableText({ name: 'visits.csv', bytes });
  if ('issue' in text) throw new WrongUse(plainText(issueSentence(text.issue)));
  const {
    rows: [header, ...rows],
    cut,
  } = logTable(text, { comment: '#' });
  const columns = (header?.cells ?? []).map((cell) => cell.toLowerCase());
  const missing = SAME.filter((column) => !columns.includes(column));
  if (missing.length > 0) throw new WrongUse(`visits.csv has no column ${missing.join(', ')}; see: sightstage check`);
  return {
    columns,
    rows: rows.map(({ cells }) => cellsOf(columns, cells)),
    start: cut ? '\n' : '',
  };
}

/** A row's cells by the names of their columns; '' where there is none. */
export function cellsOf(columns: readonly string[], cells: readonly string[]): SightingCells {
  const pairs = VISIT_COLUMNS.map((column) => [column, cells[columns.indexOf(column)] ?? '']);
  return Object.fromEntries(pairs) as unknown as SightingCells;
}

function keyOf(row: SightingCells): string {
  return JSON.stringify(SAME.map((column) => oneBlank(row[column]).toLowerCase()));
}

function cellText(cell: string): string {
  const text = oneBlank(cell);
  return /[",]|^#/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

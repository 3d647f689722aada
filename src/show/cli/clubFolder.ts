import { readdirSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import type { RunNow } from '../../tell/nowDocument.js';
import { clubRows, clubTable, type ClubRow } from '../../tell/clubDocument.js';
import { tidy } from '../../tell/table.js';
import { issueSentence } from '../../series/issue.js';
import { clubPage } from '../page/clubPage.js';
import { csvTable, type CsvValue } from '../text/csvTable.js';
import { plainText } from '../text/plainText.js';
import { writeFileSet } from '../write/writeFileSet.js';
import { chartFolder } from './chartFolder.js';
import { WrongUse } from './exitCodes.js';
import { nowFolder } from './nowFolder.js';

export interface ClubOptions {
  /** Where index.html, runs.csv and each creek's own folder are written. */
  readonly out: string;
  readonly presentMs: number;
  readonly cache?: string | undefined;
  readonly cores?: number;
  readonly depth?: 'quick' | 'full';
  /** Told before each creek, and how each ended. */
  readonly onCreek?: (of: { folder: string; at: number; of: number; done?: 'kept' | 'charted' | 'problem' }) => void;
}

/** What came of a club's creeks. */
export interface ClubResult {
  readonly kind: 'club';
  readonly rows: readonly ClubRow[];
  readonly files: { readonly html: string; readonly csv: string };
}

/**
 * Charts every creek folder within a folder and writes one page of all runs. Creeks whose files have not changed come from the cache, so an
 * interrupted club goes on where it was; a creek that can't be charted is a row that says why. The page is written after each creek.
 * @throws WrongUse where no folder within it has a creek.json
 * @example await clubFolder('our-creeks', { out: 'out', presentMs: Date.now() })
 */
export async function clubFolder(
  folder: string,
  { out, presentMs, onCreek, ...options }: ClubOptions,
): Promise<ClubResult> {
  const names = readdirSync(folder).filter((name) =>
    statSync(join(folder, name, 'creek.json'), { throwIfNoEntry: false })?.isFile(),
  );
  if (names.length === 0)
    throw new WrongUse(`${plainText(folder)} holds no creek folders: each needs a creek.json of its own`);
  const rows: ClubRow[] = [];
  for (const [at, name] of names.sort().entries()) {
    const step = { folder: name, at: at + 1, of: names.length };
    onCreek?.(step);
    const { made, done } = await creekRows(join(folder, name), { ...options, name, out, presentMs });
    rows.push(...made);
    onCreek?.({ ...step, done });
    await writeClub(out, rows);
  }
  return { kind: 'club', rows, files: { html: join(out, 'index.html'), csv: join(out, 'runs.csv') } };
}

async function creekRows(
  folder: string,
  { name, out, presentMs, ...options }: Omit<ClubOptions, 'onCreek'> & { readonly name: string },
): Promise<{ readonly made: readonly ClubRow[]; readonly done: 'kept' | 'charted' | 'problem' }> {
  let kept = false;
  try {
    const result = await chartFolder(folder, { ...options, out, onKept: () => (kept = true) });
    if (result.kind === 'bad-input') {
      const [first] = result.input.issues.filter(({ severity }) => severity === 'fatal');
      return problem(
        name,
        `${first === undefined ? 'It can’t be read.' : issueSentence(first)} All of it: sightstage check ${folder}`,
      );
    }
    const page = relative(out, result.files!.html).split('\\').join('/');
    const made = clubRows(result, { folder: name, page, now: nowOf(folder, { out, presentMs }) });
    return { made, done: kept ? 'kept' : 'charted' };
  } catch (error) {
    return problem(name, (error as Error).message);
  }
}

/** Without readings of today a club's list still stands. */
function nowOf(folder: string, options: { out: string; presentMs: number }): readonly RunNow[] | undefined {
  try {
    return nowFolder(folder, options).runs;
  } catch {
    return undefined;
  }
}

function problem(name: string, why: string) {
  const none = { run: null, gauge: null, instruction: null, good: null, grade: null, today: null, lastVisitMs: null };
  const row: ClubRow = {
    ...none,
    creek: name,
    folder: name,
    timeZone: 'UTC',
    missing: null,
    page: null,
    problem: plainText(why),
  };
  return { made: [row], done: 'problem' as const };
}

async function writeClub(out: string, rows: readonly ClubRow[]): Promise<void> {
  const { columns, rows: cells } = tidy(clubTable(rows));
  const heads = Object.keys(columns);
  const csv = csvTable(
    heads,
    cells.map((row) => heads.map((head) => (row as Readonly<Record<string, CsvValue>>)[head])),
  );
  await writeFileSet(
    out,
    new Map([
      ['index.html', clubPage(rows)],
      ['runs.csv', csv],
    ]),
  );
}

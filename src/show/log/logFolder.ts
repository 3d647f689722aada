import { readFileSync } from 'node:fs';
import type { Issue } from '../../series/issue.js';
import type { Creek } from '../../series/creek.js';
import { issueSentence } from '../../series/issue.js';
import { VERDICT } from '../../series/visits.js';
import { zoneClock } from '../../series/time.js';
import { logTable } from '../../read/logTable.js';
import { plainWord } from '../../read/plainWord.js';
import { readSighting, type SightingCells } from '../../read/readSighting.js';
import { tableText } from '../../read/tableText.js';
import { nowFolder } from '../cli/nowFolder.js';
import { WrongUse } from '../cli/exitCodes.js';
import { plainText } from '../text/plainText.js';
import { appendVisits, cellsOf, VISIT_COLUMNS, type Appended } from './appendVisits.js';

/** What the chart had said of a verdict, before it was seen. */
export interface Surprise {
  readonly run: string;
  readonly saw: string;
  /** Odds of each class, lowest first, and of the one seen. */
  readonly odds: readonly { readonly class: string; readonly odds: number }[];
  readonly seen: number;
}

export interface Logged extends Appended {
  readonly kind: 'logged';
  readonly surprises: readonly Surprise[];
}

/** Rows of a file in the form of visits.csv, with or without its header row. @throws WrongUse for a file that cannot be read */
export function rowsOfFile(path: string): readonly SightingCells[] {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(path);
  } catch {
    throw new WrongUse(`cannot read ${plainText(path)}`);
  }
  const text = tableText({ name: path, bytes });
  if ('issue' in text) throw new WrongUse(plainText(issueSentence(text.issue)));
  const { rows } = logTable(text, { comment: '#' });
  const first = rows[0]?.cells.map((cell) => cell.toLowerCase()) ?? [];
  const named = first.includes('when') && first.includes('saw');
  return rows.slice(named ? 1 : 0).map(({ cells }) => cellsOf(named ? first : VISIT_COLUMNS, cells));
}

/**
 * Writes sightings into a folder's visits.csv, all or none, and says what the chart made last had given as odds. The chart is asked only
 * for a verdict, and only after the sighting stands.
 * @returns the issues of rows that cannot be used, and then nothing is written
 */
export async function logFolder(
  folder: string,
  {
    creek,
    rows,
    file,
    out,
    presentMs,
  }: { creek: Creek; rows: readonly SightingCells[]; file: string; out: string; presentMs: number },
): Promise<Logged | { readonly kind: 'refused'; readonly issues: readonly Issue[] }> {
  const clock = zoneClock(creek.timeZone);
  const read = rows.map((cells, i) => readSighting(cells, { file, row: i + 1, creek, clock }));
  const late = read.flatMap(({ sightings }) => sightings.filter(({ timeMs }) => timeMs > presentMs + DAY_MS));
  const issues = [
    ...read.flatMap((one) => one.issues.filter(({ severity }) => severity === 'warning')),
    ...late.map(({ row }) => future(file, row)),
  ];
  if (issues.length > 0) return { kind: 'refused', issues };
  const appended = await appendVisits(folder, rows);
  const verdicts = appended.added.filter(({ feature }) => plainWord(feature) === VERDICT);
  return {
    kind: 'logged',
    ...appended,
    surprises: verdicts.flatMap((one) => surpriseOf(folder, one, { out, presentMs })),
  };
}

const DAY_MS = 86_400_000;

function future(file: string, row: number): Issue {
  return {
    code: 'time-unreadable',
    severity: 'warning',
    file,
    row,
    column: 'when',
    found: 'a time in the future',
    expected: 'when it was seen',
    hint: 'Check the year and the day.',
  };
}

/** Nothing where there is no chart, or where it says nothing of that hour. */
function surpriseOf(
  folder: string,
  { run, when, saw }: SightingCells,
  { out, presentMs }: { out: string; presentMs: number },
): readonly Surprise[] {
  try {
    const { runs } = nowFolder(folder, { out, presentMs, arrive: when, runs: [run], newVisits: true });
    const now = runs[0]?.now;
    const k = now?.classes.findIndex((word) => plainWord(word) === plainWord(saw)) ?? -1;
    if (now?.odds === undefined || now.odds === null || k < 0) return [];
    const odds = now.classes.map((word, i) => ({ class: word, odds: now.odds![i]! }));
    return [{ run, saw: now.classes[k]!, odds, seen: now.odds[k]! }];
  } catch (error) {
    if (error instanceof WrongUse) return [];
    throw error;
  }
}

import { existsSync } from 'node:fs';
import { mkdir, readFile, realpath } from 'node:fs/promises';
import { basename, extname, join, relative, resolve, sep } from 'node:path';
import { guessGauge, isRecord } from '../../read/guess/guessGauge.js';
import { guessVisits } from '../../read/guess/guessVisits.js';
import { idFor, readSheet } from '../../read/guess/sheet.js';
import { sniffGauge } from '../../read/guess/sniffGauge.js';
import type { Creek, Gauge, TripLog } from '../../series/creek.js';
import { issueSentence } from '../../series/issue.js';
import { parameterOfUnit, type GaugeUnit } from '../../series/units.js';
import type { NamedFile } from '../../read/types.js';
import { plainText } from '../text/plainText.js';
import { writeFileSet } from '../write/writeFileSet.js';
import { WrongUse } from './exitCodes.js';

/** A creek.json while it is being put together: gauges may still be missing. */
type Draft = Omit<Creek, 'runs' | 'gauges' | 'tripLogs'> & {
  runs: Creek['runs'];
  gauges: Gauge[];
  tripLogs?: TripLog[];
};

export interface AdoptOptions {
  readonly as?: 'visits' | 'gauge';
  /** Run of all rows of a spreadsheet that does not name it. */
  readonly run?: string;
  readonly unit?: GaugeUnit;
  /** Of a new creek.json. */
  readonly timeZone?: string;
  readonly name?: string;
}

/** What came of a file. */
export interface Adopted {
  readonly kind: 'adopted';
  readonly as: 'visits' | 'gauge';
  /** Where it lies in the folder. */
  readonly file: string;
  readonly guessed: readonly string[];
  /** What only a person can say. */
  readonly toSettle: readonly string[];
}

/**
 * Takes a spreadsheet of visits or a gauge's download into a creek folder: looks at it, guesses how it is to be read, writes that into
 * creek.json and leaves the file as it is (a copy of it, byte by byte, where it lies outside the folder). Without a creek.json one is
 * begun, with runs, features and classes as the sheet has them.
 * @throws WrongUse for a file that is no text table and for a creek.json that is no JSON; nothing is written then
 */
export async function adoptFile(path: string, folder: string, options: AdoptOptions = {}): Promise<Adopted> {
  const bytes = await readFile(path).catch(() => {
    throw new WrongUse(`cannot read ${plainText(path)}`);
  });
  const file: NamedFile = { name: basename(path), bytes };
  const draft = await openDraft(folder, options);
  const found = look(file, draft, options);
  const place = await placeOf(path, folder, found.as === 'visits' ? 'logs' : 'gauges');
  await mkdir(folder, { recursive: true });
  if (place.copy) await writeFileSet(join(folder, place.under), new Map([[file.name, bytes]]));
  const creek = found.into(place.name);
  await writeFileSet(folder, new Map([['creek.json', `${JSON.stringify(creek, null, 2)}\n`]]));
  return { kind: 'adopted', as: found.as, file: place.name, guessed: found.said, toSettle: found.asks };
}

interface Look {
  readonly as: 'visits' | 'gauge';
  readonly said: readonly string[];
  readonly asks: readonly string[];
  readonly into: (name: string) => Draft;
}

function look(file: NamedFile, draft: Draft, { as, run, unit }: AdoptOptions): Look {
  if (/\.(xlsx?|ods|numbers)$/i.test(file.name))
    throw new WrongUse(
      `${plainText(file.name)} is a spreadsheet program's own file. Open it there, choose the sheet with the ` +
        'visits, save it as CSV (UTF-8), and adopt that file',
    );
  const named = as === 'visits' ? undefined : sniffGauge(file, unit);
  if (named !== undefined) return gaugeLook(file, named, draft);
  const sheet = readSheet(file);
  if ('issue' in sheet) throw new WrongUse(plainText(issueSentence(sheet.issue)));
  if (as === 'gauge' || (as === undefined && isRecord(sheet))) return gaugeLook(file, guessGauge(sheet, unit), draft);
  const { log, runs, people, words, partsOfDay, said, asks } = guessVisits(sheet, { runs: draft.runs, run });
  const full = (table: object) => Object.keys(table).length > 0;
  const both = {
    people: joined(draft.people, people),
    words: joined(draft.words, words),
    partsOfDay: { ...partsOfDay, ...draft.partsOfDay },
  };
  return {
    as: 'visits',
    said,
    asks,
    into: (name) => ({
      ...draft,
      runs,
      tripLogs: [...(draft.tripLogs ?? []).filter((other) => other.file !== name), { file: name, ...log }],
      ...Object.fromEntries(Object.entries(both).filter(([, table]) => full(table))),
    }),
  };
}

type Spellings = Readonly<Record<string, readonly string[]>>;

function joined(before: Spellings = {}, more: Spellings): Spellings {
  const names = [...new Set([...Object.keys(before), ...Object.keys(more)])];
  return Object.fromEntries(
    names.map((name) => [name, [...new Set([...(before[name] ?? []), ...(more[name] ?? [])])]]),
  );
}

function gaugeLook(
  file: NamedFile,
  guess: { mapping: Partial<Gauge>; said: readonly string[]; asks: readonly string[] },
  draft: Draft,
): Look {
  const { mapping, said, asks } = guess;
  const stem = file.name.slice(0, file.name.length - extname(file.name).length);
  const unit = mapping.unit ?? 'm3/s';
  const into = (name: string): Draft => {
    const others = draft.gauges.filter(({ files }) => !files.includes(name));
    const before = draft.gauges.find(({ files }) => files.includes(name));
    const id =
      before?.id ??
      idFor(
        stem,
        others.map((gauge) => gauge.id),
      );
    const gauge = {
      id,
      name: before?.name ?? stem,
      parameter: parameterOfUnit(unit),
      unit,
      files: [name],
      ...mapping,
    } as Gauge;
    return { ...draft, gauges: [...others, { ...before, ...gauge }] };
  };
  return { as: 'gauge', said, asks, into };
}

/** Where the file lies in the folder, or goes to. */
async function placeOf(
  path: string,
  folder: string,
  under: string,
): Promise<{ name: string; under: string; copy: boolean }> {
  const root = await realpath(folder).catch(() => resolve(folder));
  const inside = relative(root, await realpath(path));
  const copy = inside.startsWith('..') || resolve(inside) === inside;
  return { name: copy ? `${under}/${basename(path)}` : inside.split(sep).join('/'), under, copy };
}

async function openDraft(folder: string, { timeZone = 'UTC', name }: AdoptOptions): Promise<Draft> {
  const path = join(folder, 'creek.json');
  if (!existsSync(path)) return { schema: 1, name: name ?? basename(resolve(folder)), timeZone, runs: [], gauges: [] };
  try {
    const draft = JSON.parse(await readFile(path, 'utf8')) as Draft;
    return { ...draft, runs: draft.runs ?? [], gauges: draft.gauges ?? [] };
  } catch {
    throw new WrongUse(`${plainText(path)} is no JSON; mend it first (sightstage check ${plainText(folder)})`);
  }
}

import type { Creek } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { VERDICT, type Sighting, type Visit } from '../series/visits.js';
import { plainWord } from './plainWord.js';
import type { VisitsRead } from './readVisits.js';

const HOUR_MS = 3_600_000;
/**
 * Two parties of one person on one run within so many hours are one trip; two verdicts of one person farther apart are two. Common
 * practice.
 */
const TRIP_HOURS = 3;
/** A share of rows not used above which the log says something else than its keeper thinks. */
const MANY = 0.2;
/** Rows below which a share tells nothing. */
const FEW = 5;

type Say = (issue: Omit<Issue, 'severity' | 'file'> & { readonly file?: string | undefined }) => void;

/** Where the first of some sightings stands. */
function placeOf(sightings: readonly Sighting[]): { readonly row: number; readonly file?: string | undefined } {
  const { row, file } = sightings.reduce((first, one) => (one.row < first.row ? one : first));
  return { row, ...(file !== undefined && { file }) };
}

/**
 * What reads well in a log row by row and ruins a chart: people spelt in two ways, visits split or merged, contradictions, classes the
 * wrong way round, examples left.
 */
export function logIssues(file: string, read: VisitsRead, creek: Creek): readonly Issue[] {
  const issues: Issue[] = [];
  const say: Say = (issue) => issues.push({ severity: 'note', ...issue, file: issue.file ?? file });
  const sightings = read.visits.flatMap((visit) => visit.sightings);
  similarPeople(sightings, say);
  splitVisits(read.visits, say);
  for (const visit of read.visits) contradictions(visit, say);
  classOrder(read.visits, creek, say);
  const examples = sightings.filter(({ note }) => /^example\b.*\bdelete\b/i.test(note));
  if (examples.length > 0)
    say({
      code: 'example-row',
      ...placeOf(examples),
      found: 'example rows that nobody saw',
      expected: 'your own sightings',
      hint: 'Delete them: they are counted like the rest.',
      count: examples.length,
    });
  const unused = read.sightingRows - read.sightingsUsed;
  if (read.sightingRows >= FEW && unused > MANY * read.sightingRows && read.sightingsUsed > 0)
    say({
      code: 'many-unused',
      found: `${unused} of ${read.sightingRows} rows that are not used`,
      expected: 'at most a fifth',
      hint: 'What is left may say something else than the whole log. See the warnings, the most frequent first.',
    });
  return issues;
}

/** A name without accents, case and dots. */
export function bareWords(name: string): string {
  return plainWord(
    name
      .normalize('NFD')
      .replace(/\p{M}/gu, '')
      .replace(/[.,_-]/g, ' '),
  );
}

/** Whether two names may be one person: alike without case, accents and dots, or one is the other with an initial or a surname behind. */
function similar(a: string, b: string): boolean {
  const [x, y] = [bareWords(a), bareWords(b)];
  return x === y || x.startsWith(`${y} `) || y.startsWith(`${x} `);
}

function similarPeople(sightings: readonly Sighting[], say: Say): void {
  const first = new Map<string, Sighting>();
  for (const sighting of sightings) if (!first.has(sighting.observer)) first.set(sighting.observer, sighting);
  const groups = new Map<string, Sighting[]>();
  for (const sighting of first.values()) {
    const key = bareWords(sighting.observer).split(' ')[0]!;
    groups.set(key, [...(groups.get(key) ?? []), sighting]);
  }
  for (const group of groups.values()) {
    const alike = group.filter((one) => group.some((other) => other !== one && similar(one.observer, other.observer)));
    if (alike.length < 2) continue;
    say({
      code: 'observer-similar',
      ...placeOf(alike),
      column: 'observer',
      found: alike.map(({ observer, row }) => `'${observer}' (row ${row})`).join(', '),
      expected: 'one spelling for one person',
      hint:
        'Each spelling counts as a person of its own, with visits of their own. Name them under people in ' +
        'creek.json, or add what tells two people apart.',
    });
  }
}

function splitVisits(visits: readonly Visit[], say: Say): void {
  visits.forEach((visit, i) => {
    for (let k = i + 1; k < visits.length && visits[k]!.timeMs - visit.timeMs <= TRIP_HOURS * HOUR_MS; k++) {
      const other = visits[k]!;
      const one = visit.sightings.find((a) => other.sightings.some((b) => similar(a.observer, b.observer)));
      if (other.run !== visit.run || one === undefined) continue;
      say({
        code: 'visit-split',
        ...placeOf(other.sightings),
        column: 'visit',
        found: `visits '${visit.id}' and '${other.id}' of ${one.observer} within ${TRIP_HOURS} h`,
        expected: 'one visit for one trip',
        hint: 'If it was one trip, give its rows one visit: as two it counts twice.',
      });
    }
  });
}

function contradictions({ id, sightings }: Visit, say: Say): void {
  const told = new Set<string>();
  sightings.forEach((sighting, i) => {
    for (const other of sightings.slice(0, i)) {
      const key = `${sighting.feature} ${sighting.observer}`;
      if (other.feature !== sighting.feature || other.observer !== sighting.observer || told.has(key)) continue;
      // One row may say 'good/high'.
      if (other.row === sighting.row && other.file === sighting.file) continue;
      const hours = Math.abs(sighting.timeMs - other.timeMs) / HOUR_MS;
      const differ =
        other.classIndex !== sighting.classIndex || (sighting.classIndex < 0 && other.value !== sighting.value);
      const merged = sighting.feature === VERDICT && hours > TRIP_HOURS;
      if (!merged && !(differ && hours < 1)) continue;
      told.add(key);
      say({
        code: 'visit-contradiction',
        row: Math.max(sighting.row, other.row),
        file: sighting.file,
        column: merged ? 'visit' : 'saw',
        found: merged
          ? `two verdicts of ${sighting.observer} in visit '${id}', ${Math.round(hours)} h apart`
          : `${sighting.observer} saw ${sighting.feature} in two ways within the hour (row ${Math.min(sighting.row, other.row)} too)`,
        expected: merged ? 'one trip a visit' : 'one sighting of a feature at a time',
        hint: merged
          ? 'Give the two trips visits of their own.'
          : 'Both are used and speak against each other. Delete the wrong one.',
      });
    }
  });
}

/** Words whose order nobody doubts. */
const ORDER = [
  ['too low', 'dry', 'empty', 'bare'],
  ['very low'],
  ['low'],
  ['medium', 'normal', 'ok', 'good'],
  ['high'],
  ['very high'],
  ['too high', 'flood', 'gone'],
];

/** Place of a class word in the order of levels, 0 the lowest; -1 for a word that could stand anywhere. */
export function wordRank(word: string): number {
  return ORDER.findIndex((words) => words.includes(plainWord(word)));
}

/** Classes that do not stand lowest first: by their words, or because they fall where the verdicts rise. */
function classOrder(visits: readonly Visit[], creek: Creek, say: Say): void {
  for (const run of creek.runs) {
    const own = visits.filter((visit) => visit.run === run.id);
    for (const { id, classes } of [{ id: VERDICT, classes: run.classes }, ...run.features]) {
      if (classes === undefined) continue;
      const ranks = classes.map(wordRank).filter((rank) => rank >= 0);
      const byWords = ranks.some((rank, i) => i > 0 && rank < ranks[i - 1]!);
      const pairs = id === VERDICT ? [] : own.flatMap((visit) => both(visit, id));
      if (!byWords && !falls(pairs)) continue;
      say({
        code: 'classes-order',
        found:
          `classes of ${id === VERDICT ? `run ${run.id}` : `feature ${id}`}: ` +
          `${classes.join(', ')}${byWords ? '' : ', which fall where the verdicts rise'}`,
        expected: 'the lowest first',
        hint: 'Put them in order in creek.json: with the order wrong there is no usable relation.',
      });
    }
  }
}

/** Verdict and class of a feature in a visit that has both. */
function both({ sightings }: Visit, feature: string): readonly (readonly [number, number])[] {
  const verdict = sightings.find((sighting) => sighting.feature === VERDICT);
  const seen = sightings.find((sighting) => sighting.feature === feature && sighting.classIndex >= 0);
  return verdict === undefined || seen === undefined ? [] : [[verdict.classIndex, seen.classIndex]];
}

/** Whether of at least ten pairs of visits that differ in both, three quarters go opposite ways. */
function falls(pairs: readonly (readonly [number, number])[]): boolean {
  let same = 0;
  let opposite = 0;
  pairs.forEach(([a, b], i) => {
    for (const [c, d] of pairs.slice(0, i)) {
      const sign = Math.sign(a - c) * Math.sign(b - d);
      if (sign > 0) same++;
      if (sign < 0) opposite++;
    }
  });
  return same + opposite >= 10 && opposite > 3 * same;
}

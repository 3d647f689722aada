import type { Feature, Run, TripLog } from '../../series/creek.js';
import { VERDICT } from '../../series/visits.js';
import { wordRank } from '../logIssues.js';
import { editDistance, nearestWord } from '../nearestWord.js';
import { plainWord } from '../plainWord.js';
import { BETWEEN } from '../readSighting.js';
import { scanNumber } from '../scanText.js';
import { minutesOfDay } from '../tripLogLayout.js';
import { unitInBrackets } from '../unitText.js';
import { guessDates } from './guessDates.js';
import { guessPeople } from './guessPeople.js';
import { bareName, counts, idFor, shareOf, type Sheet, type SheetColumn } from './sheet.js';

/** What a spreadsheet of visits seems to be, in words, and what creek.json says of it. */
export interface GuessedVisits {
  readonly log: Omit<TripLog, 'file'>;
  /** The creek's runs, with what the sheet adds to them where it had none. */
  readonly runs: readonly Run[];
  readonly people: Readonly<Record<string, readonly string[]>>;
  readonly words: Readonly<Record<string, readonly string[]>>;
  readonly partsOfDay: Readonly<Record<string, string>>;
  readonly said: readonly string[];
  readonly asks: readonly string[];
}

/** Words of header rows (without accents, small letters), by what stands under them. */
const HEADERS = {
  observer: /\b(who|wer|observer|name|paddlers?|person|people|beobachter|qui|quien|party|logged by)\b/,
  run: /\b(run|section|stretch|strecke|abschnitt|tramo)\b/,
  note: /\b(notes?|comments?|remarks?|bemerkung(en)?|kommentare?|notizen?)\b/,
  visit: /\b(visit|trip|id|no|nr)\b/,
  feature: /\b(feature|what|spot|merkmal|stelle)\b/,
  saw: /\b(saw|seen|gesehen)\b/,
  giveOrTakeMin: /give.or.take|uncertain|\+\/-|±/,
} as const;
const VERDICTS = /\b(verdict|level|overall|water|conditions?|wasserstand|gesamt|urteil)\b/;
const CLOCK = /\b(time|zeit|uhrzeit|clock|hora|heure|uhr)\b/;

/** Windows of words for a part of the day. Common practice; the keeper corrects them in creek.json. */
const PARTS: readonly (readonly [words: RegExp, window: string])[] = [
  [/early|fruh/, '06:00-10:00'],
  [/forenoon|morning|vormittag|morgen|matin|manana/, '08:00-12:00'],
  [/after (work|school)|feierabend/, '16:00-20:00'],
  [/afternoon|nachmittag|apres|tarde/, '12:00-18:00'],
  [/midday|noon|lunch|mittag|midi/, '11:00-14:00'],
  [/evening|abend|dusk|soir/, '17:00-21:00'],
  [/day|tag/, '09:00-18:00'],
];
const ANY_TIME = '09:00-18:00';
const MISSING = /^(-+|–|—|\?+|n\/?a|x|nil|none|k\.?a\.?|\.+)$/i;
/** So many different words and fewer may be classes. */
const CLASSES = 9;

/** Columns, words and people of a spreadsheet of visits, for a creek that has runs already or has none. */
export function guessVisits(
  sheet: Sheet,
  { runs, run: named }: { runs: readonly Run[]; run?: string | undefined },
): GuessedVisits {
  const asks: string[] = [];
  const said: string[] = [];
  const dates = guessDates(sheet);
  const free = new Set(sheet.columns);
  if (dates) free.delete(dates.column);
  const take = (found: SheetColumn | undefined) => {
    if (found !== undefined) free.delete(found);
    return found;
  };
  const known = featuresOf(runs);
  const isFeature = ({ name }: SheetColumn) => known.some((feature) => names(feature, name));
  const byHeader = (pattern: RegExp) =>
    take([...free].find((column) => pattern.test(bareName(column.name)) && !isFeature(column)));
  const clock = dates?.withClock
    ? undefined
    : take(
        [...free].find(({ cells }) => shareOf(cells, isClock) > 0.4) ??
          [...free].find(({ name }) => CLOCK.test(bareName(name))),
      );
  const [giveOrTakeMin, observer, note, feature, saw, runColumn] = (
    ['giveOrTakeMin', 'observer', 'note', 'feature', 'saw', 'run'] as const
  ).map((key) => byHeader(HEADERS[key]));
  const visit = take(
    [...free].find((c) => HEADERS.visit.test(bareName(c.name)) && new Set(c.cells).size > sheet.rows / 8),
  );
  if (dates === undefined) asks.push('a column of dates, which it does not seem to have');
  else
    said.push(
      `dates in '${dates.column.name}', written ${dates.pattern}${clock ? `; time of day in '${clock.name}'` : ''}`,
    );
  if (dates?.either) asks.push(`day and month: ${dates.either} reads every date as well; correct datePattern if so`);

  const missing = counts(
    [...free, ...(clock ? [clock] : [])].flatMap(({ cells }) => cells.filter((cell) => MISSING.test(cell))),
  ).map(([t]) => t);
  const full = (column: SheetColumn) => column.cells.filter((cell) => cell !== '' && !missing.includes(cell));
  const made = runs.length > 0 ? [] : newRuns(runColumn, named);
  const ownRuns = runs.length > 0 ? runs : made.map(([run]) => run);
  const fixedRun = runColumn === undefined ? (named ?? (ownRuns.length === 1 ? ownRuns[0]!.id : undefined)) : undefined;
  if (runColumn === undefined && fixedRun === undefined)
    asks.push(`which run it tells of: give --run (${ownRuns.map(({ id }) => id).join(', ')})`);

  const words: Record<string, string[]> = {};
  const addWord = (word: string, spelling: string) => {
    if (plainWord(word) !== plainWord(spelling) && !words[word]?.includes(spelling))
      (words[word] ??= []).push(spelling);
  };
  if (runColumn !== undefined)
    for (const [cell] of counts(full(runColumn))) {
      const group = made.find(([, spellings]) => spellings.includes(cell));
      const meant = twin(
        cell,
        ownRuns.flatMap(({ id, name }) => [id, name]),
      );
      const near = group?.[0] ?? ownRuns.find(({ id, name }) => id === meant || name === meant);
      if (near !== undefined) addWord(near.id, cell);
      else asks.push(`'${cell}' in '${runColumn.name}', which is no run of creek.json`);
    }

  const long = feature !== undefined && saw !== undefined;
  const seen = long ? [] : [...free].filter((column) => full(column).length > 0);
  const built = runs.length > 0 ? mapFeatures(seen) : makeFeatures(seen);
  const classColumns = long ? [] : Object.entries(built.features);
  for (const [name, id] of classColumns) {
    const cells = full(sheet.columns.find((column) => column.name === name)!);
    const classes = built.runs.flatMap((run) =>
      id === VERDICT ? run.classes : (run.features.find((f) => f.id === id)?.classes ?? []),
    );
    if (classes.length > 0) settle(name, cells, classes);
  }
  const rest = seen.filter(({ name }) => built.features[name] === undefined && name !== built.note?.name);
  if (rest.length > 0) said.push(`not read: ${rest.map(({ name }) => `'${name}'`).join(', ')}`);
  if (!long && classColumns.length === 0)
    asks.push('a column of what was seen: give its columns under features in creek.json');

  const partsOfDay: Record<string, string> = {};
  if (dates !== undefined && !dates.withClock) {
    const cells = clock?.cells.map((cell) => (missing.includes(cell) ? '' : cell)) ?? [''];
    for (const [word] of counts(cells.filter((cell) => !isTime(cell)))) {
      const window = PARTS.find(([pattern]) => pattern.test(bareName(word)))?.[1];
      if (window === undefined) asks.push(`'${word}' as a time of day: give it a window under partsOfDay`);
      else partsOfDay[word] = window;
    }
    if (cells.includes('')) partsOfDay[''] = ANY_TIME;
    const told = Object.entries(partsOfDay).map(
      ([word, window]) => `${word === '' ? 'no time of day' : `'${word}'`} is ${window}`,
    );
    if (told.length > 0) said.push(`parts of the day (common practice): ${told.join(', ')}`);
  }
  const { people, doubtful } = guessPeople(observer === undefined ? [] : full(observer));
  for (const [name, others] of Object.entries(people)) said.push(`one person: ${name} (${others.join(', ')})`);
  if (doubtful.length > 0)
    asks.push(`who ${doubtful.map((name) => `'${name}'`).join(', ')} is: more than one person has that first name`);
  if (observer === undefined) asks.push('a column of people: all rows count as one observer');
  const commas = seen.some(({ cells }) => shareOf(cells, (cell) => /^[+-]?\d+,\d+$/.test(cell)) > 0);
  const { delimiter, encoding, skipLines } = sheet.layout;
  const key = dates?.withClock || dates === undefined ? 'time' : 'date';
  return {
    log: {
      columns: {
        [key]: dates?.column.name ?? '',
        ...(clock && { clock: clock.name }),
        ...(giveOrTakeMin && { giveOrTakeMin: giveOrTakeMin.name }),
        ...(visit && { visit: visit.name }),
        ...(runColumn && { run: runColumn.name }),
        ...(long && { feature: feature.name, saw: saw.name }),
        ...(observer && { observer: observer.name }),
        ...((note ?? built.note) && { note: (note ?? built.note)!.name }),
      },
      ...(!long && { features: built.features }),
      ...(fixedRun !== undefined && { run: fixedRun }),
      ...(delimiter !== ',' && { delimiter }),
      ...(commas && { decimalMark: ',' as const, delimiter }),
      ...(encoding !== 'utf-8' && { encoding }),
      ...(skipLines > 0 && { skipLines }),
      ...(dates && dates.pattern !== 'iso' && { datePattern: dates.pattern }),
      ...(missing.length > 0 && { missing }),
    },
    runs: built.runs,
    people,
    words,
    partsOfDay,
    said: [long ? 'a row is a sighting' : 'a row is a visit', ...said],
    asks,
  };

  /** Finds a meaning for every word of a column of classes; says which it is and which has none. */
  function settle(name: string, cells: readonly string[], classes: readonly string[]): void {
    const lost: string[] = [];
    for (const [cell, times] of counts(cells)) {
      for (const part of classes.some((word) => plainWord(word) === plainWord(cell)) ? [] : cell.split(BETWEEN)) {
        const near = meaning(part, classes);
        if (near === undefined) lost.push(`'${cell}' (${times})`);
        else if (plainWord(near) !== plainWord(part)) {
          addWord(near, part);
          said.push(`'${part}' in '${name}' is '${near}'`);
        }
      }
    }
    if (lost.length > 0)
      asks.push(`what ${lost.slice(0, 6).join(', ')} in '${name}' means: name it under words, or add a class`);
  }

  /** Columns that the creek's own features name, and the one whose words are its verdicts. */
  function mapFeatures(columns: readonly SheetColumn[]): Built {
    const features: Record<string, string> = {};
    for (const column of columns) {
      const own = known.find((one) => names(one, column.name));
      if (own !== undefined) features[column.name] = own.id;
    }
    const classes = runs.flatMap((run) => run.classes);
    const verdicts = columns
      .filter(({ name }) => features[name] === undefined)
      .map((column) => ({
        column,
        share: shareOf(full(column), (cell) =>
          cell.split(BETWEEN).every((part) => meaning(part, classes) !== undefined),
        ),
      }))
      .sort(
        (a, b) =>
          b.share - a.share ||
          Number(VERDICTS.test(bareName(b.column.name))) - Number(VERDICTS.test(bareName(a.column.name))),
      );
    if (verdicts[0] !== undefined && verdicts[0].share > 0.5) features[verdicts[0].column.name] = VERDICT;
    for (const [column, id] of Object.entries(features))
      said.push(`'${column}' is ${id === VERDICT ? 'the verdict' : `feature ${id}`}`);
    return { features, runs };
  }

  /** Classes and features for a creek that has none yet: words in the order of levels, else in the order of the verdicts beside them. */
  function makeFeatures(columns: readonly SheetColumn[]): Built {
    const few = columns.filter((column) => isClasses(full(column)) || isNumbers(full(column)));
    const level = (column: SheetColumn) =>
      shareOf(full(column), (cell) => cell.split(BETWEEN).some((part) => wordRank(part) >= 0));
    const verdict = few
      .filter((column) => !isNumbers(full(column)))
      .sort(
        (a, b) =>
          level(b) - level(a) || Number(VERDICTS.test(bareName(b.name))) - Number(VERDICTS.test(bareName(a.name))),
      )[0];
    const longNote = note === undefined ? columns.find((column) => !few.includes(column)) : undefined;
    if (verdict === undefined) return { features: {}, runs: ownRuns, ...(longNote && { note: longNote }) };
    const classes = ordered(single(full(verdict)), wordRank);
    said.push(`'${verdict.name}' is the verdict: ${classes.join(' < ')}`);
    const strange = classes.filter((word) => wordRank(word) < 0);
    if (strange.length > 0)
      asks.push(`where ${strange.map((word) => `'${word}'`).join(', ')} stands among the classes`);
    const place = (row: number) =>
      classes.findIndex((word) => plainWord(word) === plainWord(meaning(verdict.cells[row]!, classes) ?? ''));
    const features: Record<string, string> = { [verdict.name]: VERDICT };
    const madeFeatures = few
      .filter((column) => column !== verdict)
      .map((column): Feature => {
        const id = idFor(column.name.replace(/[[(].*$/, ''), [VERDICT, ...Object.values(features)]);
        features[column.name] = id;
        if (isNumbers(full(column))) {
          const unit = unitInBrackets(column.name) ?? /[[(]([^\])]+)[\])]/.exec(column.name)?.[1] ?? 'unit';
          said.push(`'${column.name}' is feature ${id}, read in ${unit}`);
          return { id, name: column.name, unit };
        }
        const mean = (word: string) =>
          average(
            column.cells.flatMap((cell, i) => (plainWord(cell) === plainWord(word) && place(i) >= 0 ? [place(i)] : [])),
          );
        const own = ordered(single(full(column)), mean);
        said.push(`'${column.name}' is feature ${id}, in the order of the verdicts beside it: ${own.join(' < ')}`);
        return { id, name: column.name, classes: own };
      });
    asks.push('whether each list of classes stands lowest first');
    return {
      features,
      runs: ownRuns.map((run) => ({ ...run, classes, features: madeFeatures })),
      ...(longNote && { note: longNote }),
    };
  }
}

interface Built {
  readonly features: Record<string, string>;
  readonly runs: readonly Run[];
  /** A column of sentences. */
  readonly note?: SheetColumn;
}

type Named = Pick<Feature, 'id' | 'name'>;

function featuresOf(runs: readonly Run[]): readonly Named[] {
  return [{ id: VERDICT, name: VERDICT }, ...runs.flatMap((run) => run.features)];
}

/** Whether a column's name is that of the feature, with or without its unit and a slip. */
function names({ id, name }: Named, column: string): boolean {
  const bare = plainWord(column.replace(/[[(].*$/, ''));
  const own = [id, name].map(plainWord);
  return (
    own.includes(bare) || own.includes(plainWord(column)) || (bare.length > 4 && editDistance(own[0]!, bare) === 1)
  );
}

/** The class that a word means: itself, one of the same rank in the order of levels, or the one that it misspells. */
function meaning(word: string, classes: readonly string[]): string | undefined {
  const exact = classes.find((own) => plainWord(own) === plainWord(word));
  if (exact !== undefined || word === '') return exact;
  const rank = wordRank(word);
  const same = [...new Set(classes.filter((own) => rank >= 0 && wordRank(own) === rank))];
  return same.length === 1 ? same[0] : (twin(word, classes) ?? nearestWord(word, classes));
}

/** Runs by the spellings of a column, of which each is a twin of another. */
function newRuns(
  column: SheetColumn | undefined,
  named: string | undefined,
): readonly (readonly [Run, readonly string[]])[] {
  const groups: string[][] = [];
  for (const [cell] of counts(column?.cells ?? [named ?? 'run'])) {
    const alike = groups.filter((group) => group.some((other) => twin(cell, [other]) ?? twin(other, [cell])));
    for (const group of alike) groups.splice(groups.indexOf(group), 1);
    groups.push([...alike.flat(), cell]);
  }
  const taken: string[] = [];
  return groups.map((group) => {
    const id = idFor(group[0]!, taken);
    taken.push(id);
    return [{ id, name: group[0]!, classes: ['low', 'high'], features: [] }, group];
  });
}

/** The word that this one is, but for capitals, a letter, or a piece left out at its end. */
function twin(word: string, words: readonly string[]): string | undefined {
  const plain = plainWord(word);
  return words.find((other) => {
    const own = plainWord(other);
    const piece = (plain.length >= 2 && own.startsWith(plain)) || plain.startsWith(`${own} `);
    return own === plain || piece || (plain.length > 3 && editDistance(own, plain) === 1);
  });
}

function isTime(cell: string): boolean {
  const bare = cell.replace(/^(?:ca|about|approx|around|at|~)\.?\s*/i, '').replace(/\s*(?:uhr|o'clock)$/i, '');
  return cell === '' || bare.split(/\s*(?:-|–|\bto\b)\s*/).every((part) => !Number.isNaN(minutesOfDay(part)));
}

function isClock(cell: string): boolean {
  return /\d/.test(cell)
    ? /[:.hH]|[ap]\.?m/.test(cell) && isTime(cell)
    : PARTS.some(([pattern]) => pattern.test(bareName(cell)));
}

function isNumbers(cells: readonly string[]): boolean {
  return (
    shareOf(
      cells,
      (cell) =>
        /^[+-]?[\d.,]+( ?[a-z]{1,2})?$/i.test(cell) &&
        !Number.isNaN(scanNumber(cell.replace(',', '.').replace(/ ?[a-z]+$/i, ''), 0, 40)),
    ) > 0.8
  );
}

function isClasses(cells: readonly string[]): boolean {
  const found = single(cells);
  return found.length > 1 && found.length <= CLASSES && cells.length > 2 * found.length;
}

/** The words of a column without those made of two, each in its most frequent spelling, those that may be one word once. */
function single(cells: readonly string[]): readonly string[] {
  const kept: string[] = [];
  for (const [word, times] of counts(cells)) {
    if (word.split(BETWEEN).length > 1 || kept.some((own) => plainWord(own) === plainWord(word))) continue;
    const rank = wordRank(word);
    const same = kept.some((own) => rank >= 0 && wordRank(own) === rank);
    if (
      !same &&
      (rank >= 0 || twin(word, kept) === undefined) &&
      (rank >= 0 || times > 2 || nearestWord(word, kept) === undefined)
    )
      kept.push(word);
  }
  return kept;
}

function ordered(words: readonly string[], place: (word: string) => number): readonly string[] {
  const places = new Map(words.map((word) => [word, place(word)]));
  return [...words].sort((a, b) => places.get(a)! - places.get(b)!);
}

function average(numbers: readonly number[]): number {
  return numbers.reduce((sum, n) => sum + n, 0) / Math.max(1, numbers.length);
}

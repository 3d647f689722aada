import type { Creek, Feature, Run } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import { readTime, type ZoneClock } from '../series/time.js';
import { VERDICT, type Sighting } from '../series/visits.js';
import { didYouMean } from './nearestWord.js';
import { hiddenLetters, plainWord } from './plainWord.js';
import { scanNumber } from './scanText.js';

/** The cells of one row of visits.csv, trimmed; '' where the column or the cell is missing. */
export interface SightingCells {
  readonly visit: string;
  readonly when: string;
  readonly give_or_take_min: string;
  readonly run: string;
  readonly feature: string;
  readonly saw: string;
  readonly observer: string;
  readonly note: string;
}

/** Observer of rows that name none: they count as one person, so that their bias is at least shared. */
export const NO_OBSERVER = 'not named';

interface RowContext {
  readonly file: string;
  readonly row: number;
  readonly creek: Creek;
  readonly clock: ZoneClock;
}

/**
 * One row as a sighting, or none with every reason why it cannot be used; notes say how an odd row was taken. A row that names two
 * neighbouring classes, as `good/high`, is a sighting of each: the creek stood near the edge between them.
 */
export function readSighting(
  cells: SightingCells,
  { file, row, creek, clock }: RowContext,
): { readonly sightings: readonly Sighting[]; readonly issues: readonly Issue[] } {
  const issues: Issue[] = [];
  const say: Say = (severity, issue) => {
    const hidden = severity === 'warning' ? hiddenLetters(cells[issue.column as keyof SightingCells]) : undefined;
    issues.push({ severity, file, row, ...issue, ...(hidden !== undefined && { hint: hidden }) });
  };
  const meant = { ...cells, run: standsFor(cells.run, creek.words), feature: standsFor(cells.feature, creek.words) };
  const time = sightingTime(cells, { clock, partsOfDay: creek.partsOfDay ?? {}, say });
  const run = findRun(meant, creek, say);
  const feature = run === undefined ? undefined : findFeature(meant, run, say);
  const saw = feature === undefined ? [] : readSaw(cells.saw, feature, { words: creek.words, say });
  if (cells.observer === '')
    say('note', {
      code: 'observer-missing',
      column: 'observer',
      found: 'no observer',
      expected: 'a name or initials',
      hint: `The row is used; all rows without a name count as one observer, '${NO_OBSERVER}'.`,
    });
  // A note says how a row was used; a row that is not used has its warnings only.
  if (time === undefined || run === undefined || feature === undefined || saw.length === 0)
    return { sightings: [], issues: issues.filter((issue) => issue.severity !== 'note') };
  const observer = cells.observer === '' ? NO_OBSERVER : standsFor(cells.observer.normalize('NFC'), creek.people);
  const shared = { row, ...time, run: run.id, feature: feature.id };
  return { sightings: saw.map((one) => Object.freeze({ ...shared, ...one, observer, note: cells.note })), issues };
}

/** The word that a spelling stands for, by a table of creek.json; the spelling itself where none names it. */
function standsFor(spelling: string, table: Creek['people'] = {}): string {
  const plain = plainWord(spelling);
  const entry = Object.entries(table).find(([, others]) => others.some((other) => plainWord(other) === plain));
  return entry?.[0] ?? spelling;
}

type Say = (severity: Issue['severity'], issue: Omit<Issue, 'severity' | 'file' | 'row'>) => unknown;

function sightingTime(
  written: SightingCells,
  { clock, partsOfDay, say }: { clock: ZoneClock; partsOfDay: Readonly<Record<string, string>>; say: Say },
): Pick<Sighting, 'timeMs' | 'giveOrTakeMin'> | undefined {
  const cells = { ...written, ...partOfDay(written.when, partsOfDay) };
  const given =
    cells.give_or_take_min === '' ? 0 : scanNumber(cells.give_or_take_min, 0, cells.give_or_take_min.length);
  if (!(given >= 0))
    say('warning', {
      code: 'value-unreadable',
      column: 'give_or_take_min',
      found: `'${cells.give_or_take_min}'`,
      expected: 'a number of minutes, 0 or more, or an empty cell',
      hint: 'Write 90 for an hour and a half either way.',
    });
  const time = readTime(cells.when, clock);
  const expected = 'a date and a time of day in ISO 8601, such as 2024-04-28T14:30 or 2024-04-28T14:30-07:00';
  const found = cells.when === '' ? 'an empty cell' : `'${cells.when}'`;
  switch (time.kind) {
    case 'exact':
      return given >= 0 ? { timeMs: time.timeMs, giveOrTakeMin: given } : undefined;
    case 'ambiguous': {
      // The two windows of ± given around the two instants, covered by one.
      const giveOrTakeMin = Math.max(time.giveOrTakeMin, given + (time.laterMs - time.earlierMs) / 120_000);
      say('note', {
        code: 'time-ambiguous',
        column: 'when',
        found: `${found}, which the clocks of ${clock.zone} showed twice`,
        expected: 'an offset',
        hint: `Taken as the middle of the two, give or take ${giveOrTakeMin} min. Add the offset to the time to say which.`,
      });
      return given >= 0 ? { timeMs: time.timeMs, giveOrTakeMin } : undefined;
    }
    case 'nonexistent':
      say('warning', {
        code: 'time-nonexistent',
        column: 'when',
        found: `${found}, in the hour that the clocks of ${clock.zone} skipped`,
        expected: 'a time that the clocks showed',
        hint: 'Correct the time, or write it with its offset.',
      });
      return undefined;
    case 'date-only':
      say('warning', {
        code: 'time-unreadable',
        column: 'when',
        found,
        expected,
        hint:
          'A creek changes within hours. Where only part of the day is known, write its middle and half its length: ' +
          'an afternoon is T15:00 with give_or_take_min 180.',
      });
      return undefined;
    case 'unreadable':
      say('warning', {
        code: 'time-unreadable',
        column: 'when',
        found,
        expected,
        hint: timeHint(cells.when),
      });
      return undefined;
  }
}

/** A date and a word for a part of the day, by its window, as the middle and half the length of that. */
function partOfDay(
  when: string,
  partsOfDay: Readonly<Record<string, string>>,
): Partial<Pick<SightingCells, 'when' | 'give_or_take_min'>> {
  const [, day, word] = /^(\d{4}-\d\d-\d\d)(?:[T ]+(\D.*))?$/.exec(when) ?? [];
  if (day === undefined) return {};
  const window = Object.entries(partsOfDay).find(([known]) => plainWord(known) === plainWord(word ?? ''))?.[1];
  if (window === undefined) return {};
  const [from, to] = window.split('-').map((time) => Number(time.slice(0, 2)) * 60 + Number(time.slice(3)));
  const middle = Math.floor((from! + to!) / 2);
  const two = (n: number) => String(n).padStart(2, '0');
  return {
    when: `${day}T${two(Math.floor(middle / 60))}:${two(middle % 60)}`,
    give_or_take_min: String(Math.ceil(Math.abs(to! - from!) / 2)),
  };
}

function findRun(cells: SightingCells, creek: Creek, say: Say): Run | undefined {
  const run = creek.runs.find((candidate) => plainWord(candidate.id) === plainWord(cells.run));
  if (run !== undefined) return run;
  const byName = creek.runs.find((candidate) => plainWord(candidate.name) === plainWord(cells.run));
  const ids = creek.runs.map((candidate) => candidate.id);
  say('warning', {
    code: 'run-unknown',
    column: 'run',
    found: cells.run === '' ? 'an empty cell' : `'${cells.run}'`,
    expected: `the id of a run (${ids.join(', ')})`,
    hint:
      byName === undefined
        ? (didYouMean(cells.run, ids) ?? 'Fix the row, or add the run in creek.json.')
        : `Write its id, '${byName.id}'.`,
  });
  return undefined;
}

type Seen = Pick<Feature, 'id' | 'classes' | 'unit'>;

function findFeature(cells: SightingCells, run: Run, say: Say): Seen | undefined {
  const wanted = plainWord(cells.feature);
  if (wanted === VERDICT) return { id: VERDICT, classes: run.classes };
  const feature = run.features.find((candidate) => plainWord(candidate.id) === wanted);
  if (feature !== undefined) return feature;
  const byName = run.features.find((candidate) => plainWord(candidate.name) === wanted);
  const ids = [VERDICT, ...run.features.map((candidate) => candidate.id)];
  say('warning', {
    code: 'feature-unknown',
    column: 'feature',
    found: cells.feature === '' ? 'an empty cell' : `'${cells.feature}'`,
    expected: `the id of a feature of run ${run.id} (${ids.join(', ')})`,
    hint:
      byName === undefined
        ? (didYouMean(cells.feature, ids) ?? 'Fix the row, or add the feature in creek.json.')
        : `Write its id, '${byName.id}'.`,
  });
  return undefined;
}

type Saw = Pick<Sighting, 'classIndex' | 'value'>;

function readSaw(saw: string, feature: Seen, { words, say }: { words: Creek['words']; say: Say }): readonly Saw[] {
  const found = saw === '' ? 'an empty cell' : `'${saw}'`;
  if (feature.classes === undefined) {
    const value = scanNumber(saw, 0, saw.length);
    if (value === value) return [{ classIndex: -1, value }];
    const comma = /^[+-]?\d+,\d+$/.test(saw);
    say('warning', {
      code: 'value-unreadable',
      column: 'saw',
      found,
      expected: `a number in ${feature.unit}, as feature ${feature.id} is read`,
      hint: comma
        ? 'Write a decimal point.'
        : /\d\s*(-|–|to|\/)\s*\d/.test(saw)
          ? 'Write the middle of the range.'
          : 'Write the number alone, without its unit.',
    });
    return [];
  }
  const { classes } = feature;
  const indexOf = (word: string) => {
    const exact = classes.findIndex((own) => plainWord(own) === plainWord(word));
    return exact >= 0 ? exact : classes.findIndex((own) => plainWord(own) === plainWord(standsFor(word, words)));
  };
  const classIndex = indexOf(saw);
  if (classIndex >= 0) return [{ classIndex, value: NaN }];
  const [low, high, ...more] = saw
    .split(BETWEEN)
    .map(indexOf)
    .sort((a, b) => a - b);
  if (low !== undefined && low >= 0 && high === low + 1 && more.length === 0) {
    say('note', {
      code: 'class-between',
      column: 'saw',
      found,
      expected: 'one class',
      hint: `Used as a look at each of the two: the creek stood near the edge between them.`,
    });
    return [low, high].map((k) => ({ classIndex: k, value: NaN }));
  }
  say('warning', {
    code: 'class-unknown',
    column: 'saw',
    found,
    expected: `a class of ${feature.id === VERDICT ? 'the verdict' : `feature ${feature.id}`} (${classes.join(' < ')})`,
    hint:
      low !== undefined && low >= 0 && high !== undefined
        ? 'Two classes are read as one of either where they are neighbours: write the one that comes nearer.'
        : (didYouMean(saw, classes) ??
          (saw === ''
            ? 'Write what was seen, or delete the row.'
            : 'Fix the row, add the class in creek.json, or name the word under words there.')),
  });
  return [];
}

/** What stands between two classes: `good/high`, `good or high`, `good to high`. */
export const BETWEEN = /\s*(?:\/|,|;|\bor\b|\bto\b|-|–)\s*/;

/** What to do about a cell that is no time in ISO 8601. */
function timeHint(when: string): string {
  if (/^\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}/.test(when))
    return 'Day and month cannot be told apart here: write the year first, then month and day.';
  const day = /^\d{4}-\d\d-\d\d/.test(when);
  if (day && /^\S{10}[ T]+.*\p{L}{3}/u.test(when))
    return (
      'Give the word a window under partsOfDay in creek.json; or write its middle and half its length: an ' +
      'afternoon is T15:00 with give_or_take_min 180.'
    );
  if (day && /[ap]\.?m\b/i.test(when)) return 'Write the hour of 24: 2 pm is 14:00.';
  if (/^\d{5}(\.\d+)?$/.test(when))
    return 'This looks like the number of a day in a spreadsheet: give the column the format yyyy-mm-dd hh:mm and save it again.';
  return day
    ? 'Check the date and the time: months end after 28 to 31 days, hours run to 24 and minutes to 59.'
    : 'Write year-month-day, a T and the time of day.';
}

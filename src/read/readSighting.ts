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

/** One row as a sighting, or undefined with every reason why it cannot be used; notes say how an odd row was taken. */
export function readSighting(
  cells: SightingCells,
  { file, row, creek, clock }: RowContext,
): { readonly sighting: Sighting | undefined; readonly issues: readonly Issue[] } {
  const issues: Issue[] = [];
  const say: Say = (severity, issue) => {
    const hidden = severity === 'warning' ? hiddenLetters(cells[issue.column as keyof SightingCells]) : undefined;
    issues.push({ severity, file, row, ...issue, ...(hidden !== undefined && { hint: hidden }) });
  };
  const time = sightingTime(cells, clock, say);
  const run = findRun(cells, creek, say);
  const feature = run === undefined ? undefined : findFeature(cells, run, say);
  const saw = feature === undefined ? undefined : readSaw(cells.saw, feature, say);
  if (cells.observer === '')
    say('note', {
      code: 'observer-missing',
      column: 'observer',
      found: 'no observer',
      expected: 'a name or initials',
      hint: `The row is used; all rows without a name count as one observer, '${NO_OBSERVER}'.`,
    });
  const usable = time !== undefined && run !== undefined && feature !== undefined && saw !== undefined;
  // A note says how a row was used; a row that is not used has its warnings only.
  if (!usable) return { sighting: undefined, issues: issues.filter((issue) => issue.severity !== 'note') };
  return {
    sighting: Object.freeze({
      row,
      ...time,
      run: run.id,
      feature: feature.id,
      ...saw,
      observer: cells.observer === '' ? NO_OBSERVER : cells.observer.normalize('NFC'),
      note: cells.note,
    }),
    issues,
  };
}

type Say = (severity: Issue['severity'], issue: Omit<Issue, 'severity' | 'file' | 'row'>) => unknown;

function sightingTime(
  cells: SightingCells,
  clock: ZoneClock,
  say: Say,
): Pick<Sighting, 'timeMs' | 'giveOrTakeMin'> | undefined {
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
        hint: 'A creek changes within hours. Where only part of the day is known, write its middle and half its length: an afternoon is T15:00 with give_or_take_min 180.',
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

function readSaw(saw: string, feature: Seen, say: Say): Pick<Sighting, 'classIndex' | 'value'> | undefined {
  const found = saw === '' ? 'an empty cell' : `'${saw}'`;
  if (feature.classes === undefined) {
    const value = scanNumber(saw, 0, saw.length);
    if (value === value) return { classIndex: -1, value };
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
    return undefined;
  }
  const classIndex = feature.classes.findIndex((word) => plainWord(word) === plainWord(saw));
  if (classIndex >= 0) return { classIndex, value: NaN };
  say('warning', {
    code: 'class-unknown',
    column: 'saw',
    found,
    expected: `a class of ${feature.id === VERDICT ? 'the verdict' : `feature ${feature.id}`} (${feature.classes.join(' < ')})`,
    hint:
      twoClasses(saw, feature.classes) ??
      didYouMean(saw, feature.classes) ??
      'Fix the row, or add the class in creek.json.',
  });
  return undefined;
}

/** What to do about a cell such as `good/high`, which names two classes. */
function twoClasses(saw: string, classes: readonly string[]): string | undefined {
  const parts = saw.split(/\s*(?:\/|,|;|\bor\b|\bto\b|-|–)\s*/).map(plainWord);
  const named = classes.filter((word) => parts.includes(plainWord(word)));
  return parts.length === 2 && named.length === 2
    ? `Write the one that comes nearer; who stands between two classes may log both, each as a row.`
    : undefined;
}

/** What to do about a cell that is no time in ISO 8601. */
function timeHint(when: string): string {
  if (/^\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}/.test(when))
    return 'Day and month cannot be told apart here: write the year first, then month and day.';
  const day = /^\d{4}-\d\d-\d\d/.test(when);
  if (day && /morning|noon|evening|night|after|before/i.test(when))
    return 'Write the middle of that part of the day and half its length: an afternoon is T15:00 with give_or_take_min 180.';
  if (day && /[ap]\.?m\b/i.test(when)) return 'Write the hour of 24: 2 pm is 14:00.';
  if (/^\d{5}(\.\d+)?$/.test(when))
    return 'This looks like the number of a day in a spreadsheet: give the column the format yyyy-mm-dd hh:mm and save it again.';
  return day
    ? 'Check the date and the time: months end after 28 to 31 days, hours run to 24 and minutes to 59.'
    : 'Write year-month-day, a T and the time of day.';
}

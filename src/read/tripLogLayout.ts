import type { Creek, TripLog } from '../series/creek.js';
import type { Issue } from '../series/issue.js';
import type { IsoTime } from '../series/isoTime.js';
import { datePattern, swappedPattern } from './datePattern.js';
import type { LogTable } from './logTable.js';
import { didYouMean } from './nearestWord.js';
import { plainWord } from './plainWord.js';
import type { RowLayout, SightingOfRow } from './readVisits.js';
import type { SightingCells } from './readSighting.js';
import { oneBlank } from './recordCutter.js';

const EMPTY: SightingCells = {
  visit: '',
  when: '',
  give_or_take_min: '',
  run: '',
  feature: '',
  saw: '',
  observer: '',
  note: '',
};

/** How the rows of a mapped spreadsheet become the cells of visits.csv, or the fatal issues of its header row. */
export function tripLogLayout(
  log: TripLog,
  creek: Creek,
  { rows }: LogTable,
): RowLayout | { readonly issues: readonly Issue[] } {
  const header = (rows[0]?.cells ?? []).map(oneBlank);
  const { columns, features = {} } = log;
  const wanted = [...Object.values(columns), ...Object.keys(features)].filter((name) => name !== undefined);
  const index = (name: string | undefined) => (name === undefined ? -1 : header.indexOf(oneBlank(name)));
  const missing = wanted.filter((name) => index(name) < 0);
  if (missing.length > 0)
    return {
      issues: missing.map((name) => ({
        code: 'column-missing' as const,
        severity: 'fatal' as const,
        file: log.file,
        row: rows[0]?.row ?? 1,
        column: name,
        found: `columns ${header.map((h) => `'${h.slice(0, 40)}'`).join(', ')}`.slice(0, 400),
        expected: `a column named '${name}'`,
        hint:
          didYouMean(name, header) ??
          'Correct it in creek.json (tripLogs: columns, features, delimiter, skipLines, encoding), or run sightstage adopt again.',
      })),
    };
  const timeColumn = columns.time ?? columns.date!;
  const at = (key: keyof TripLog['columns']) => index(columns[key]);
  const ofFeatures = Object.entries(features).map(([name, feature]) => ({ name, feature, at: index(name) }));
  const isMissing = new Set(['', ...(log.missing ?? [])].map(plainWord));
  const cellAt = (cells: readonly string[], i: number) => {
    const cell = i < 0 ? '' : oneBlank(cells[i] ?? '');
    return isMissing.has(plainWord(cell)) ? '' : cell;
  };
  const readTime = timeReader(log.datePattern ?? 'iso');
  const units = new Map(creek.runs.flatMap((run) => run.features.map(({ id, unit }) => [id, unit] as const)));
  const names = {
    when: timeColumn,
    run: columns.run,
    feature: columns.feature,
    saw: columns.saw,
    observer: columns.observer,
  };
  const stem = log.file.replace(/^.*\//, '').replace(/\.[^.]*$/, '');

  const sightings = (cells: readonly string[], row: number): readonly SightingOfRow[] => {
    const clock = at('clock') < 0 ? undefined : cellAt(cells, at('clock'));
    const time = readTime(cellAt(cells, at('time') < 0 ? at('date') : at('time')), clock);
    if ('expected' in time)
      return [
        {
          issue: { code: 'time-unreadable', severity: 'warning', file: log.file, row, column: timeColumn, ...time },
        },
      ];
    const shared = {
      ...EMPTY,
      visit: cellAt(cells, at('visit')),
      ...time,
      ...(at('giveOrTakeMin') >= 0 && { give_or_take_min: cellAt(cells, at('giveOrTakeMin')) }),
      run: log.run ?? cellAt(cells, at('run')),
      observer: cellAt(cells, at('observer')),
      note: cellAt(cells, at('note')),
    };
    if (ofFeatures.length === 0) {
      const feature = cellAt(cells, at('feature'));
      return [{ cells: { ...shared, feature, saw: number(cellAt(cells, at('saw')), feature) }, names }];
    }
    const visit = shared.visit === '' ? `${stem} row ${row}` : shared.visit;
    const seen = ofFeatures.flatMap(({ name, feature, at: i }) => {
      const saw = number(cellAt(cells, i), feature);
      return saw === '' ? [] : [{ cells: { ...shared, visit, feature, saw }, names: { ...names, saw: name } }];
    });
    if (seen.length > 0) return seen;
    const issue: Issue = {
      code: 'value-missing',
      severity: 'warning',
      file: log.file,
      row,
      found: 'a row without anything seen',
      expected: `a cell under ${ofFeatures.map(({ name }) => `'${name}'`).join(', ')}`,
      hint: 'Nothing is lost if nobody looked.',
    };
    return [{ issue }];
  };

  /** A number as visits.csv has it: with a decimal point, and without the feature's own unit behind it. */
  const number = (saw: string, feature: string): string => {
    const unit = units.get(feature);
    const bare = unit !== undefined && saw.endsWith(unit) ? saw.slice(0, -unit.length).trim() : saw;
    return log.decimalMark === ',' && /^[+-]?\d*,\d+$/.test(bare) ? bare.replace(',', '.') : bare;
  };

  const named = new Map(
    [...wanted.map((name) => [index(name), name] as const)].filter(([, name]) => name !== columns.note),
  );
  return { width: header.findLastIndex((name) => name !== '') + 1, named, sightings };
}

type LogTime = Pick<SightingCells, 'when' | 'give_or_take_min'>;
interface NoTime {
  readonly found: string;
  readonly expected: string;
  readonly hint: string;
}

/** A date and perhaps a clock in the words of a spreadsheet, as `when` and `give_or_take_min` of visits.csv. */
function timeReader(pattern: string): (date: string, clock: string | undefined) => LogTime | NoTime {
  const scan = datePattern(pattern);
  const swapped = swappedPattern(pattern);
  const scanSwapped = swapped === undefined ? undefined : datePattern(swapped);
  const iso: IsoTime = { localMs: NaN, offsetMs: NaN, dateOnly: false };
  return (written, clock) => {
    // A weekday before the date says nothing that the date does not.
    const date = written.replace(/^\p{L}{2,}\.?,?\s+/u, '');
    if (!scan(date, 0, date.length, iso)) {
      const other = scanSwapped?.(date, 0, date.length, iso) === true;
      return {
        found: written === '' ? 'an empty cell' : `'${written.slice(0, 40)}'`,
        expected: pattern === 'iso' ? 'a date in ISO 8601, such as 2024-04-28' : `a date written as ${pattern}`,
        hint: other
          ? `Day and month seem to be the other way round in this row; datePattern ${swapped} would read it.`
          : 'Correct the cell, or datePattern in creek.json.',
      };
    }
    if (iso.offsetMs === iso.offsetMs) return { when: date, give_or_take_min: '' };
    const day = new Date(iso.localMs).toISOString().slice(0, 10);
    if (!iso.dateOnly) return { when: new Date(iso.localMs).toISOString().slice(0, 16), give_or_take_min: '' };
    return clockOf(day, clock ?? '');
  };
}

/** `14:30`, `14.30`, `14h30`, `1430`, `2 pm`, `about 14:30`, `14:00-16:00`; any other word is left for partsOfDay. */
function clockOf(day: string, clock: string): LogTime {
  const [from, to] = clock
    .replace(/^(?:ca|about|approx|around|at|~)\.?\s*/i, '')
    .replace(/\s*(?:uhr|o'clock)$/i, '')
    .split(/\s*(?:-|–|\bto\b)\s*/)
    .map(minutesOfDay);
  if (from === undefined || Number.isNaN(from) || Number.isNaN(to ?? 0))
    return { when: clock === '' ? day : `${day} ${clock}`, give_or_take_min: '' };
  const middle = to === undefined ? from : Math.round((from + to) / 2);
  const loose = /^(?:ca|about|approx|around|~)/i.test(clock) ? ABOUT_MIN : 0;
  const half = to === undefined ? loose : Math.abs(to - from) / 2;
  const two = (n: number) => String(n).padStart(2, '0');
  return {
    when: `${day}T${two(Math.floor(middle / 60))}:${two(middle % 60)}`,
    give_or_take_min: half === 0 ? '' : String(half),
  };
}

/** "About two o'clock" is taken as two, give or take so many minutes. Common practice. */
const ABOUT_MIN = 30;

/** Minutes since midnight of `14:30`, `14.30`, `14h30`, `1430`, `2 pm`; NaN of anything else. */
export function minutesOfDay(text: string): number {
  const match = /^(\d{1,2})(?:[:.hH]?(\d\d)?)?(?::\d\d)?\s*h?\s*([ap])?\.?(?:m\.?)?$/i.exec(text.trim());
  if (match === null) return NaN;
  const [, hours, minutes = '0', half] = match;
  const hour = half === undefined ? Number(hours) : (Number(hours) % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  return hour <= 24 && Number(minutes) < 60 ? hour * 60 + Number(minutes) : NaN;
}

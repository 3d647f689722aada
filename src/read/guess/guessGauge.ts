import type { Gauge } from '../../series/creek.js';
import { parameterOfUnit, type GaugeUnit } from '../../series/units.js';
import { scanNumber } from '../scanText.js';
import { unitFromText, unitInBrackets } from '../unitText.js';
import { guessDates } from './guessDates.js';
import { bareName, counts, mode, shareOf, type Sheet, type SheetColumn } from './sheet.js';

/** What a download seems to be, in words, and what creek.json says of it. */
export interface GuessedGauge {
  readonly mapping: Partial<Gauge>;
  readonly said: readonly string[];
  /** What nobody can see from the file. */
  readonly asks: readonly string[];
}

const VALUE = /discharge|flow|stage|level|height|abfluss|wasserstand|pegel|caudal|debit|value|wert|reading|\bq\b/;
const QUALITY = /qual|flag|status|grade|approv|\bcode\b/;
/** Numbers that stand for "no value" in downloads (common practice). */
const NO_VALUE = /^-9{3,7}([.,]\d*)?$/;

/** Whether a sheet is a gauge's: numbers in even steps of time, and no column of words but a quality code. */
export function isRecord(sheet: Sheet): boolean {
  const dates = guessDates(sheet);
  if (dates === undefined || sheet.rows < 20) return false;
  const numbers = sheet.columns.some((column) => column !== dates.column && isNumeric(column));
  const clock = clockOf(sheet);
  const words = sheet.columns.some(
    (column) =>
      column !== dates.column &&
      column !== clock &&
      !QUALITY.test(bareName(column.name)) &&
      !isNumeric(column) &&
      new Set(column.cells).size > 2,
  );
  const times = dates.column.cells.map((cell, i) => Number((cell + (clock?.cells[i] ?? '')).replace(/\D/g, '')));
  const steps = times.slice(1).map((time, i) => String(Math.abs(time - times[i]!)));
  const usual = mode(steps.filter((step) => step !== '0'));
  return numbers && !words && steps.filter((step) => step === usual).length > 0.5 * steps.length;
}

function clockOf({ columns }: Sheet): SheetColumn | undefined {
  return columns.find(({ cells }) => shareOf(cells, (cell) => /^\d{1,2}:\d\d(:\d\d)?$/.test(cell)) > 0.9);
}

function numeric(cell: string): boolean {
  return !Number.isNaN(scanNumber(cell, 0, cell.length)) || !Number.isNaN(scanNumber(cell, 0, cell.length, ','));
}

function isNumeric({ cells }: SheetColumn): boolean {
  return shareOf(cells, numeric) > 0.5;
}

/** Columns, pattern, marks, missing tokens, unit and zone of a delimited download, as far as it shows them. */
export function guessGauge(sheet: Sheet, unit?: GaugeUnit): GuessedGauge {
  const dates = guessDates(sheet);
  const rest = sheet.columns.filter((column) => column !== dates?.column);
  const clock = dates?.withClock ? undefined : clockOf(sheet);
  const numbers = rest.filter((column) => column !== clock && isNumeric(column));
  const varied = numbers.filter(({ cells }) => new Set(cells).size > 5);
  const value =
    varied.find(({ name }) => unitOf(name) !== undefined) ??
    varied.find(({ name }) => VALUE.test(bareName(name))) ??
    varied[0] ??
    numbers[0];
  if (dates === undefined || value === undefined)
    return { mapping: {}, said: [], asks: ['a column of times and one of numbers, which it does not seem to have'] };
  const quality = rest.find(({ name }) => QUALITY.test(bareName(name)));
  const commas =
    shareOf(value.cells, (cell) => /^[+-]?\d+,\d+$/.test(cell)) >
    shareOf(value.cells, (cell) => /^[+-]?\d+\.\d+$/.test(cell));
  const missing = counts(value.cells.filter((cell) => !numeric(cell) || NO_VALUE.test(cell))).slice(0, 8);
  const own = unit ?? unitOf(value.name) ?? unitOf(sheet.before);
  const zone = /\b(UTC|GMT)\b(?![+-])/.exec(`${dates.column.name} ${clock?.name ?? ''} ${sheet.before}`)?.[1];
  const { delimiter, encoding, skipLines } = sheet.layout;
  const pattern =
    clock === undefined
      ? dates.pattern
      : `${dates.pattern === 'iso' ? 'yyyy-MM-dd' : dates.pattern} HH:mm${seconds(clock)}`;
  const mapping: Partial<Gauge> = {
    format: 'delimited',
    ...(own && { parameter: parameterOfUnit(own), unit: own }),
    columns: {
      ...(clock === undefined ? { time: dates.column.name } : { date: dates.column.name, clock: clock.name }),
      value: value.name,
      ...(quality && { quality: quality.name }),
    },
    ...(delimiter !== ',' && { delimiter }),
    ...(commas && { decimalMark: ',' as const, delimiter }),
    ...(encoding !== 'utf-8' && { encoding }),
    ...(skipLines > 0 && { skipLines }),
    ...(pattern !== 'iso' && { datePattern: pattern }),
    ...(missing.length > 0 && { missing: missing.map(([token]) => token) }),
    ...(zone && { timeZone: 'UTC' }),
  };
  return {
    mapping,
    said: [
      `times in '${dates.column.name}'${clock ? ` and '${clock.name}'` : ''}, written ${pattern}${zone ? ', UTC' : ''}`,
      `readings in '${value.name}'${own ? `, ${own}` : ''}${quality ? `, quality in '${quality.name}'` : ''}`,
      ...(missing.length > 0
        ? [`no value: ${missing.map(([token, times]) => `'${token}' (${times})`).join(', ')}`]
        : []),
    ],
    asks: [
      ...(own === undefined ? ['the unit of the readings: give --unit'] : []),
      ...(dates.either ? [`day and month: ${dates.either} reads every date as well`] : []),
      ...(zone || dates.column.cells[0]?.match(/(Z|[+-]\d\d:?\d\d)$/)
        ? []
        : ["the zone of its times, taken as the creek's; set timeZone of the gauge if not"]),
    ],
  };
}

function seconds({ cells }: SheetColumn): string {
  return shareOf(cells, (cell) => /^\d{1,2}:\d\d:\d\d$/.test(cell)) > 0.5 ? ':ss' : '';
}

/** The unit that a column's name or a line above the table gives in brackets or as its last word. */
function unitOf(text: string): GaugeUnit | undefined {
  const bracket = unitInBrackets(text);
  const inside = bracket === undefined ? undefined : unitFromText(bracket);
  if (inside !== undefined) return inside;
  for (const word of text.split(/[\s:;,()[\]_]+/).reverse()) {
    const unit = word.length > 1 ? unitFromText(word) : undefined;
    if (unit !== undefined) return unit;
  }
  return undefined;
}

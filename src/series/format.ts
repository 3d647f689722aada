import { Temporal } from 'temporal-polyfill';
import { parameterOfUnit, unitLabel, type GaugeUnit, type Parameter } from './units.js';

/*
 * How numbers, shares, ranges, times and units are written for people: here and nowhere else. The same in every locale: a point before
 * decimals, a true minus, thousands apart by a thin space from 10 000 on.
 */

/** Lower and upper end; null where there is none. */
export type Ends = readonly [number | null, number | null];

/** A number and its 80 % interval, as judgements (`value`) and charts (`median`) have them. */
export type WithI80 = { readonly i80: Ends } & ({ readonly value: number | null } | { readonly median: number | null });

export const MONTHS: readonly string[] = Object.freeze([
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]);

/**
 * Digits as people read them, from a plain decimal text: grouped by a thin space that does not break, as NIST SP 811, section 10.5.3, asks
 * for.
 */
function written(text: string): string {
  const [whole = '', decimals] = text.split('.');
  const digits = whole.replace('-', '');
  const grouped = digits.length > 4 ? digits.replace(/\B(?=(\d{3})+$)/g, '\u202f') : digits;
  const minus = whole.startsWith('-') && /[1-9]/.test(text) ? '−' : '';
  return `${minus}${grouped}${decimals === undefined ? '' : `.${decimals}`}`;
}

/** A number with exactly `digits` decimals. @returns `unknown` for what is no number. */
export function fixed(value: number | null, digits: number): string {
  return value === null || !Number.isFinite(value) ? 'unknown' : written(value.toFixed(Math.max(0, digits)));
}

/** A number with at most `digits` decimals and no trailing zeros. @example plain(2.5, 2) // '2.5' */
export function plain(value: number, digits: number): string {
  return fixed(value, digits).replace(/(\.\d*?)0+$/, (_, kept: string) => (kept === '.' ? '' : kept));
}

/** A number with about `count` significant figures, without an exponent. @example figures(12345.6) // '12 300' */
export function figures(value: number, count = 3): string {
  return plain(significant(value, count), Math.min(6, Math.max(0, decimalsOf(value, count))));
}

const threeFigures = (value: number): string => figures(value);

/** The number rounded to significant figures: for data, not for people. */
export function significant(value: number, count: number): number {
  return Number.isFinite(value) ? Number(value.toPrecision(count)) : value;
}

/** The number rounded to decimals: for data, not for people. */
export function rounded(value: number, digits: number): number {
  return Number.isFinite(value) ? Number(value.toFixed(digits)) + 0 : value;
}

/** Decimals that give `count` significant figures; negative where figures before the point are dropped. */
function decimalsOf(value: number, count: number): number {
  return value === 0 || !Number.isFinite(value) ? 0 : count - 1 - Math.floor(Math.log10(Math.abs(value)));
}

/**
 * A share as a whole percentage. It is 0 % only for none and 100 % only for all: what happened once must not read as never.
 * @returns `unknown` for null and for what is no number.
 * @example share(0.002) // 'under 1 %'
 */
export function share(value: number | null): string {
  return value === null || !Number.isFinite(value) ? 'unknown' : `${wholePercent(value)} %`;
}

/** A model's odds as a whole percentage: its 0 and 1 are rounding, so neither none nor certain is ever claimed. */
export function odds(value: number | null): string {
  return share(value === null ? null : Math.min(1 - 1e-9, Math.max(1e-9, value)));
}

/** Two shares as `3 to 12 %`. */
export function shareRange(ends: Ends): string {
  return `${range(ends, wholePercent)} %`;
}

/** A share with its 80 % interval: `68 % (55 to 79)`; without an interval the share alone. */
export function shareWithI80(measured: WithI80): string {
  return withInterval(share(middle(measured)), measured.i80, wholePercent);
}

function wholePercent(value: number): string {
  if (value > 0 && value < 0.005) return 'under 1';
  if (value > 0.995 && value < 1) return 'over 99';
  return fixed(100 * value, 0);
}

/** A change in ln units as a change in percent, signed. @example lnShare(0.2) // '+22 %' */
export function lnShare(ln: number): string {
  const percent = fixed(100 * Math.expm1(ln), 0);
  return `${/^[1-9]/.test(percent) ? '+' : ''}${percent} %`;
}

/**
 * A number with its 80 % interval: `2.6 (2.1 to 3.1)`; without an interval the number alone, to three figures.
 *
 * The number stands on a step of 1, 2 or 5 × 10^n that is no finer than a fifth of the interval, its ends have as many decimals.
 */
export function withI80(measured: WithI80): string {
  const value = middle(measured);
  const [low, high] = measured.i80;
  const step = low === null || high === null ? null : stepFor(high - low);
  if (value === null || !Number.isFinite(value)) return 'unknown';
  if (low === high) return figures(value);
  if (step === null || low === null || high === null || step.unit < Math.abs(value) / 1e4)
    return withInterval(figures(value), measured.i80, threeFigures);
  const near = Math.round(value / step.size) * step.size;
  const inside = near >= low && near <= high;
  const text = fixed(inside ? near : Math.round(value / step.unit) * step.unit, step.digits);
  return `${text} (${endsOf(measured.i80)})`;
}

/** The ends of an interval, rounded outward so that it is never shown narrower than it is: `2.1 to 3.1`. */
export function endsOf(ends: Ends): string {
  const step = ends[0] === null || ends[1] === null ? null : stepFor(ends[1] - ends[0]);
  if (step === null) return range(ends, threeFigures);
  const end = (bound: number, side: 'low' | 'high') => fixed(outward(bound / step.unit, side) * step.unit, step.digits);
  return range(ends, end);
}

/** Floor or ceiling; 4.1 * 10 is not 41 in binary, so a value that stands on a step stays there. */
function outward(scaled: number, side: 'low' | 'high'): number {
  const nearest = Math.round(scaled);
  if (Math.abs(scaled - nearest) < 1e-9 * Math.max(1, Math.abs(nearest))) return nearest;
  return side === 'low' ? Math.floor(scaled) : Math.ceil(scaled);
}

/** A number to a step no finer than a fifth of its 80 % interval's width, and the decimals to show it with. */
export interface Step {
  /** 1, 2 or 5 × `unit`. */
  readonly size: number;
  /** A power of ten. */
  readonly unit: number;
  readonly digits: number;
}

/** The smallest step m × 10^p, m in {1, 2, 5}, that is at least a fifth of the width; null where the width is 0 or not finite. */
export function stepFor(width: number): Step | null {
  const finest = width / 5;
  if (!(finest > 0 && finest < Infinity)) return null;
  const power = Math.floor(Math.log10(finest));
  // A hair of slack, so that a fifth of 5 is the step 1 and not 2 when the width came out as 5.000000000000001.
  const mantissa = [1, 2, 5, 10].find((m) => m * 10 ** power >= finest * (1 - 1e-12)) ?? 10;
  const unit = 10 ** (mantissa === 10 ? power + 1 : power);
  return { size: mantissa * 10 ** power, unit, digits: Math.max(0, -Math.round(Math.log10(unit))) };
}

function withInterval(text: string, ends: Ends, show: (value: number) => string): string {
  return ends[0] === null && ends[1] === null ? text : `${text} (${range(ends, show)})`;
}

function middle(measured: WithI80): number | null {
  return 'value' in measured ? measured.value : measured.median;
}

/** `3 to 12`, `below 12`, `above 3` or `any`, each end as given by `show`. */
export function range([low, high]: Ends, show: (value: number, side: 'low' | 'high') => string): string {
  if (low === null) return high === null ? 'any' : `below ${show(high, 'high')}`;
  return high === null ? `above ${show(low, 'low')}` : `${show(low, 'low')} to ${show(high, 'high')}`;
}

/** A gauge value with its unit, to some decimals: `1400 ft³/s`. */
export function inUnit(value: number, unit: GaugeUnit, digits: number): string {
  return `${plain(value, digits)} ${unitLabel(unit)}`;
}

/** Hours rounded for people: whole from 10 h on, else to half an hour. */
export function roundedHours(hours: number): number {
  return Math.abs(hours) >= 10 ? Math.round(hours) : Math.round(hours * 2) / 2;
}

/** `1 hour`, `2.5 hours`: for sentences. */
export function hoursInWords(hours: number): string {
  return counted(roundedHours(hours), 'hour');
}

/** `2.5 h`: for tables. */
export function hours(value: number): string {
  return `${plain(roundedHours(value), 1)} h`;
}

/** `1 visit`, `3 visits`, `2.5 visits`. */
export function counted(n: number, noun: string): string {
  return `${plain(n, 1)} ${n === 1 ? noun : `${noun}s`}`;
}

/** `a`, `a and b`, `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

/** What a gauge shows, in a paddler's word: by its parameter or unit. */
export function parameterWord(parameter: Parameter | GaugeUnit): string {
  const known = parameter === 'discharge' || parameter === 'stage' ? parameter : parameterOfUnit(parameter);
  return known === 'discharge' ? 'flow' : 'height';
}

/** Calendar day of a moment in a zone, `yyyy-mm-dd`; `never` for none. */
export function day(timeMs: number | null, timeZone: string): string {
  return timeMs === null || !Number.isFinite(timeMs) ? 'never' : zoned(timeMs, timeZone).toPlainDate().toString();
}

/** `2031-04-02 14:30`, wall clock of the zone; `never` for none. */
export function minute(timeMs: number | null, timeZone: string): string {
  if (timeMs === null || !Number.isFinite(timeMs)) return 'never';
  const clock = zoned(timeMs, timeZone).toPlainDateTime().toString({ smallestUnit: 'minute' });
  return clock.replace('T', ' ');
}

/** UTC, ISO 8601: for data. */
export function isoTime(timeMs: number): string {
  return new Date(timeMs).toISOString();
}

/** Calendar month of a moment in a zone, 1 to 12. */
export function monthOf(timeMs: number, timeZone: string): number {
  return zoned(timeMs, timeZone).month;
}

function zoned(timeMs: number, timeZone: string): Temporal.ZonedDateTime {
  return Temporal.Instant.fromEpochMilliseconds(Math.round(timeMs)).toZonedDateTimeISO(timeZone);
}

/** Three figures, rounded so that a range of them never reaches past the range itself. */
export function significantInward(value: number, end: 'low' | 'high'): number {
  const scale = 10 ** decimalsOf(value, 3);
  return rounded(outward(value * scale, end === 'low' ? 'high' : 'low') / scale, 12);
}

/** Decimals that a number is written with where nothing is dropped. */
export function decimals(value: number): number {
  return String(value).split('.')[1]?.length ?? 0;
}

/** What `figures` is made of: functions that need nothing but one another, so that a page can carry their source. */
export const numberWriters = Object.freeze({ written, fixed, plain, decimalsOf, significant, figures });

import { groupDigits } from '../series/groupDigits.js';
import type { GaugeUnit, Parameter } from '../series/units.js';
import { unitLabel } from '../series/units.js';

/** A number as people write it: at most `digits` decimals, no trailing zeros, no minus zero. The same everywhere: no locale. */
export function plain(value: number, digits: number): string {
  const text = value.toFixed(digits);
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return short === '-0' ? '0' : short;
}

/** Hours as people say them: whole from 10 h on, else to half an hour; `1 hour`, `2.5 hours`. */
export function hoursInWords(hours: number): string {
  const h = roundedHours(hours);
  return `${plain(h, 1)} ${h === 1 ? 'hour' : 'hours'}`;
}

/** Hours rounded for speech: whole from 10 h on, else to half an hour. */
export function roundedHours(hours: number): number {
  return Math.abs(hours) >= 10 ? Math.round(hours) : Math.round(hours * 2) / 2;
}

/** Odds as a whole percentage. A model's 0 and 1 are rounding, so neither none nor certain is ever claimed. */
export function percent(odds: number): string {
  if (odds < 0.005) return 'under 1 %';
  if (odds > 0.995) return 'over 99 %';
  return `${Math.round(odds * 100)} %`;
}

/** A gauge value in a sentence, as everywhere on a chart: without trailing zeros, thousands apart from 10 000 on. */
export function gaugeNumber(value: number, digits: number): string {
  return groupDigits(plain(value, digits));
}

/** A gauge value with its unit, to the digits of its rounding. */
export function withUnit(value: number, unit: GaugeUnit, digits: number): string {
  return `${gaugeNumber(value, digits)} ${unitLabel(unit)}`;
}

/** What a gauge of this parameter shows, in a paddler's word. */
export function parameterWord(parameter: Parameter): string {
  return parameter === 'discharge' ? 'flow' : 'height';
}

/** The value, or null where JSON could not carry it. */
export function finiteOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

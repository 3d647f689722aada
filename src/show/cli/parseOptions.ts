import { InvalidArgumentError } from 'commander';
import type { UnitsChoice } from '../../tell/unitsChoice.js';

export const UNITS_CHOICES: readonly UnitsChoice[] = ['metric', 'us', 'both'];

/** `-12..24` as a pair of bounds in hours. */
export function parseBounds(text: string): { readonly min: number; readonly max: number } {
  const match = /^(-?\d+(?:\.\d+)?)\.\.(-?\d+(?:\.\d+)?)$/.exec(text.trim());
  const [min, max] = [Number(match?.[1]), Number(match?.[2])];
  if (match === null || !(min <= max))
    throw new InvalidArgumentError(`found '${text}', expected min..max in hours, for example -12..24`);
  if (Math.max(Math.abs(min), Math.abs(max)) > 240)
    throw new InvalidArgumentError(`found '${text}', expected hours between -240 and 240`);
  return { min, max };
}

/** Hours from 0 to 48. */
export function parseLead(text: string): number {
  const hours = /^\d+(\.\d+)?$/.test(text.trim()) ? Number(text) : NaN;
  if (!(hours <= 48)) throw new InvalidArgumentError(`found '${text}', expected hours from 0 to 48`);
  return hours;
}

/** A whole number from 0 to 2³² - 1. */
export function parseSeed(text: string): number {
  const seed = /^\d+$/.test(text.trim()) ? Number(text) : NaN;
  if (!(seed < 2 ** 32))
    throw new InvalidArgumentError(`found '${text}', expected a whole number from 0 to 4294967295`);
  return seed;
}

/** A whole number of processor cores, at least 1. */
export function parseCores(text: string): number {
  const cores = /^\d{1,4}$/.test(text.trim()) ? Number(text) : NaN;
  if (!(cores > 0)) throw new InvalidArgumentError(`found '${text}', expected a whole number above 0`);
  return cores;
}

export const CORES_HELP = 'processor cores to use (default: all); the outputs are the same';
export const NO_CACHE_HELP = 'make everything anew, though nothing has changed since the last time';

/** For an option that may be given more than once. */
export function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}

export const THOROUGH_HELP = 'judge every gauge, with a fit of its own for every flood';

export const QUICK_HELP = 'judge by one fit a gauge, without leaving floods out by fits of their own';

import { seldomExceeded } from './recordJumps.js';

/** -999, 9999, 99999.9, -9999.00: what loggers write for "no value". */
const NINES = /^-?9{3,7}(\.9{1,4})?$/;
/** Times the reading that is seldom exceeded. Below, 999 may be a flood. */
const BEYOND = 3;

/** Places of numbers that stand for "no value": nothing but nines, and far beyond all other readings. */
export function missingNumbers(values: Float64Array): readonly number[] {
  const looks = (v: number): boolean => Math.abs(v) >= 999 && NINES.test(String(v));
  const others = values.filter((v) => v === v && !looks(v)).map(Math.abs);
  const most = others.length === 0 ? Infinity : BEYOND * seldomExceeded(others);
  return Array.from(values.keys()).filter((i) => Math.abs(values[i]!) > most && looks(values[i]!));
}

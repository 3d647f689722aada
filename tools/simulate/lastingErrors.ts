import type { Random } from '../../src/kernel/random.js';
import { HOUR, HOURS, START } from './rainRecord.js';

/** Hours over which a lasting error falls to 1/e. */
const MEMORY_HOURS = 48;

/**
 * Mismatch that lasts and has heavy tails: a first-order autoregression over hours with a memory of two days, its innovations Student's t
 * with 3 degrees of freedom, the whole with the sd asked for.
 *
 * @returns the error at a time of the record.
 */
export function lastingErrors(random: Random, sd: number): (timeMs: number) => number {
  const memory = Math.exp(-1 / MEMORY_HOURS);
  const series = new Float64Array(HOURS);
  for (let t = 1; t < HOURS; t++) {
    const chi = random.normal() ** 2 + random.normal() ** 2 + random.normal() ** 2;
    // Student's t with 3 degrees of freedom has variance 3.
    const heavy = random.normal() / Math.sqrt(chi / 3) / Math.sqrt(3);
    series[t] = memory * series[t - 1] + sd * Math.sqrt(1 - memory * memory) * heavy;
  }
  return (timeMs) => series[Math.min(HOURS - 1, Math.max(0, Math.round((timeMs - START) / HOUR)))];
}

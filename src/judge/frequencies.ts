import type { VerdictCases } from './verdictCases.js';

const DAY = 86_400_000;
const YEAR_DAYS = 365.2425;

/** Half width of the season window around a visit's day of the year, days: a month and a half either side. */
export const SEASON_HALF_DAYS = 45;

/** The all-year frequencies count as this many visits of the season, so that an empty season is no surprise and a thin one no oracle. */
export const SEASON_PRIOR_VISITS = 5;

/**
 * How often each class was logged: (count_k + 1/2)/(total + K/2). The half visit per class (Jeffreys' prior) keeps a class that one flood
 * alone holds from having odds 0 once that flood is left out.
 *
 * @param options.exceptFlood flood whose cases are not counted; default none.
 * @returns K shares that sum to 1; all equal where nothing is left.
 */
export function classFrequencies(
  cases: VerdictCases,
  { exceptFlood = -1 }: { exceptFlood?: number } = {},
): Float64Array {
  const counts = new Float64Array(cases.classes).fill(0.5);
  for (let c = 0; c < cases.classIndex.length; c++)
    if (cases.flood[c] !== exceptFlood) counts[cases.classIndex[c]] += cases.weight[c];
  return scaledToOne(counts);
}

/**
 * What the calendar alone says about case c: class shares of the other floods' cases within ±45 days of its day of the year (all years),
 * shrunk towards `classFrequencies` as if those were 5 visits more.
 *
 * @returns K shares that sum to 1.
 */
export function seasonFrequencies(cases: VerdictCases, c: number): Float64Array {
  const shares = classFrequencies(cases, { exceptFlood: cases.flood[c] }).map((p) => p * SEASON_PRIOR_VISITS);
  for (let other = 0; other < cases.classIndex.length; other++) {
    if (cases.flood[other] === cases.flood[c]) continue;
    if (daysApartInYear(cases.timeMs[other], cases.timeMs[c]) <= SEASON_HALF_DAYS)
      shares[cases.classIndex[other]] += cases.weight[other];
  }
  return scaledToOne(shares);
}

/** Distance of two moments on the circle of the year, days (mean year of 365.2425 days). */
export function daysApartInYear(aMs: number, bMs: number): number {
  const apart = (Math.abs(aMs - bMs) / DAY) % YEAR_DAYS;
  return Math.min(apart, YEAR_DAYS - apart);
}

function scaledToOne(counts: Float64Array): Float64Array {
  let total = 0;
  for (const count of counts) total += count;
  return counts.map((count) => count / total);
}

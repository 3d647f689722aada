import { rankedProbabilityScore } from '../../kernel/rps.js';
import type { Said } from '../../read/readSaid.js';
import { VERDICT, type Visit } from '../../series/visits.js';

/** A verdict within so many hours of the arrival is what was met. */
const NEAR_MS = 3 * 3_600_000;

/** What was said of a run on the day, against what was logged. */
export interface SaidScore {
  /** Answers kept, and days of them with a verdict in the log. */
  readonly kept: number;
  readonly days: readonly {
    readonly visit: string;
    readonly saidMs: number;
    readonly arrivalMs: number;
    readonly odds: readonly number[];
    readonly seen: number;
  }[];
  /** Days on which the likeliest class was met, on which the run stood higher than that, and how many of those the odds foretold. */
  readonly right: number;
  readonly higher: number;
  readonly higherForetold: number;
  /** Mean ranked probability score; null without a day. */
  readonly rps: number | null;
}

/**
 * Scores what was said against the verdicts of the log. Of several answers for one visit the last one said before it counts.
 * @param said of all runs. @param options.run id and its classes.
 * @returns null where nothing was kept for the run
 */
export function saidScore(
  said: readonly Said[],
  { run, classes, visits }: { run: string; classes: number; visits: readonly Visit[] },
): SaidScore | null {
  const own = said.filter((one) => one.run === run && one.odds.length === classes);
  if (own.length === 0) return null;
  const days = visits
    .filter((visit) => visit.run === run)
    .flatMap(({ id, sightings }) => {
      const verdict = sightings.find(({ feature, classIndex }) => feature === VERDICT && classIndex !== undefined);
      if (verdict === undefined) return [];
      const [last] = own
        .filter(({ arrivalMs, saidMs }) => Math.abs(arrivalMs - verdict.timeMs) <= NEAR_MS && saidMs <= verdict.timeMs)
        .sort((a, b) => b.saidMs - a.saidMs);
      return last === undefined
        ? []
        : [{ visit: id, saidMs: last.saidMs, arrivalMs: last.arrivalMs, odds: last.odds, seen: verdict.classIndex! }];
    });
  const likeliest = (odds: readonly number[]) => odds.indexOf(Math.max(...odds));
  const above = (odds: readonly number[]) => odds.slice(likeliest(odds) + 1).reduce((a, b) => a + b, 0);
  const scores = days.map(({ odds, seen }) => rankedProbabilityScore(odds, seen));
  return {
    kept: own.length,
    days,
    right: days.filter(({ odds, seen }) => seen === likeliest(odds)).length,
    higher: days.filter(({ odds, seen }) => seen > likeliest(odds)).length,
    higherForetold: days.reduce((sum, { odds }) => sum + above(odds), 0),
    rps: days.length === 0 ? null : scores.reduce((a, b) => a + b, 0) / days.length,
  };
}

import type { LeftOut } from '../../src/judge/leaveFloodOut.js';
import type { LaterOdds } from './laterOdds.js';
import type { LaterClasses } from './readLater.js';

/** An hour is scored where at least this share of the draws finds a reading, as a visit takes part in a fit. */
const LEAST_FOUND = 0.5;

/**
 * Later hours in the shape of odds with floods left out, so that everything that judges a log can judge them. None of them was ever in the fit, so nothing
 * has to be left out.
 *
 * People log when it runs: with `logged` each hour is weighted by how often its class was logged over how often it came later, which makes the later record
 * look like a log of the same people. Without it every hour counts alike. Weights have mean 1.
 *
 * @param at what came (H hours), the odds (H × K), the flood of each hour (H).
 * @param options.logged K shares of the logged verdicts.
 */
export function laterLeftOut(
  at: { readonly later: LaterClasses; readonly odds: LaterOdds; readonly flood: Int32Array },
  { logged, classes }: { logged?: Float64Array; classes: number },
): LeftOut {
  const { later, odds, flood } = at;
  const K = classes;
  const hours = Array.from({ length: later.timesMs.length }, (_, h) => h).filter((h) => odds.found[h] >= LEAST_FOUND);
  const came = new Float64Array(K);
  for (const h of hours) came[later.classIndex[h]] += 1 / hours.length;
  const weight = Float64Array.from(hours, (h) =>
    logged === undefined ? 1 : logged[later.classIndex[h]] / came[later.classIndex[h]],
  );
  const mean = weight.reduce((a, b) => a + b, 0) / weight.length;
  const perFlood = new Map<number, number>();
  for (const h of hours) perFlood.set(flood[h], (perFlood.get(flood[h]) ?? 0) + 1);
  return {
    kind: 'left-out',
    cases: {
      classes: K,
      visit: Int32Array.from(hours),
      sighting: Int32Array.from(hours),
      classIndex: Int32Array.from(hours, (h) => later.classIndex[h]),
      flood: Int32Array.from(hours, (h) => flood[h]),
      timeMs: Float64Array.from(hours, (h) => later.timesMs[h]),
      weight: weight.map((w) => w / mean),
      floods: perFlood.size,
    },
    probability: Float64Array.from(
      { length: hours.length * K },
      (_, at) => odds.odds[hours[Math.floor(at / K)] * K + (at % K)],
    ),
    unmatchedShare: 0,
    floods: [...perFlood].map(([f, visits]) => ({ flood: f, visits, paretoK: NaN })),
    worstParetoK: NaN,
    undependableShare: 0,
  };
}

import type { Way } from '../../fit/types.js';
import { classFrequencies } from '../frequencies.js';
import { DEPENDABLE_K, type LeftOut } from '../leaveFloodOut.js';
import { WAYS, type FloodResult } from './types.js';

/** A refit whose weights have a long tail (k̂ above 0.7) and keep less than this share of its draws is not to be relied on. */
const LEAST_EFFECTIVE = 0.1;

/**
 * Odds for floods left out by weights, with those of fits of their own in their place where these were made. A flood whose fit came to
 * nothing gets the class frequencies of the other floods, as the share of a case without a reading does, and counts as undependable.
 *
 * @param left by weights. @param results of some or all floods that hold a verdict, any order.
 */
export function withRefits(left: LeftOut, results: readonly FloodResult[], { way }: { way: Way }): LeftOut {
  const { cases } = left;
  const K = cases.classes;
  const byFlood = new Map(results.map((result) => [result.flood, result.answers[WAYS.indexOf(way)] ?? null]));
  const probability = left.probability.slice();
  const undependable = new Set(left.floods.filter((f) => !(f.paretoK <= DEPENDABLE_K)).map(({ flood }) => flood));
  for (const [flood, answer] of byFlood) {
    const mine = Array.from(cases.flood.keys()).filter((c) => cases.flood[c] === flood);
    const elsewhere = classFrequencies(cases, { exceptFlood: flood });
    mine.forEach((c, at) => {
      const missing = answer === null ? 1 : answer.missing[at];
      for (let k = 0; k < K; k++)
        probability[c * K + k] = (answer === null ? 0 : answer.probability[at * K + k]) + missing * elsewhere[k];
    });
    const dependable = answer !== null && (answer.paretoK <= DEPENDABLE_K || answer.effective >= LEAST_EFFECTIVE);
    if (dependable) undependable.delete(flood);
    else undependable.add(flood);
  }
  const weightWhere = (counts: (c: number) => boolean) =>
    cases.weight.reduce((sum, weight, c) => sum + (counts(c) ? weight : 0), 0);
  return {
    ...left,
    probability,
    refitted: left.floods.filter(({ flood }) => byFlood.has(flood)).length,
    undependableShare: weightWhere((c) => undependable.has(cases.flood[c])) / weightWhere(() => true),
  };
}

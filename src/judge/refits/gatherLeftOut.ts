import type { LevelFit } from '../../fit/types.js';
import { classFrequencies } from '../frequencies.js';
import { DEPENDABLE_K, weightsWithout, type LeftOut } from '../leaveFloodOut.js';
import { verdictCases } from '../verdictCases.js';
import type { FloodResult, JudgeContext } from './types.js';

/** A refit whose weights have a long tail (k̂ above 0.7) and keep less than this share of its draws is not to be relied on. */
const LEAST_EFFECTIVE = 0.1;

/**
 * The odds of one question with each flood left out by a fit of its own. A flood without a fit, and the share of a case without a reading, get the class
 * frequencies of the other floods, as with weights; without a fit the case counts as undependable too.
 *
 * @param results one a flood that holds a verdict, any order.
 * @param options.question place in the plan's questions.
 * @param options.fit whose weights would stand for leaving a flood out: their k̂ goes with each flood (NaN without).
 * @returns null where no flood has an answer.
 */
export function gatherLeftOut(
  { relation: { aligned } }: JudgeContext,
  results: readonly FloodResult[],
  { question, fit }: { question: number; fit?: LevelFit },
): LeftOut | null {
  const cases = verdictCases(aligned);
  const byFlood = new Map(results.map((result) => [result.flood, result]));
  if (results.every(({ answers }) => (answers[question] ?? null) === null)) return null;
  const K = cases.classes;
  const probability = new Float64Array(cases.visit.length * K);
  const floods: { flood: number; visits: number; paretoK: number }[] = [];
  let unmatched = 0;
  let undependable = 0;
  let total = 0;
  for (let from = 0; from < cases.visit.length;) {
    const flood = cases.flood[from];
    let to = from;
    while (to < cases.visit.length && cases.flood[to] === flood) to++;
    const result = byFlood.get(flood);
    const answer = result?.answers[question] ?? null;
    const elsewhere = classFrequencies(cases, { exceptFlood: flood });
    const dependable = answer !== null && (answer.paretoK <= DEPENDABLE_K || answer.effective >= LEAST_EFFECTIVE);
    for (let c = from; c < to; c++) {
      const missing = answer === null ? 1 : answer.missing[c - from];
      for (let k = 0; k < K; k++)
        probability[c * K + k] =
          (answer === null ? 0 : answer.probability[(c - from) * K + k]) + missing * elsewhere[k];
      unmatched += missing * cases.weight[c];
      total += cases.weight[c];
      if (!dependable) undependable += cases.weight[c];
    }
    const visits = Array.from(aligned.flood.keys()).filter((i) => aligned.flood[i] === flood);
    floods.push({ flood, visits: visits.length, paretoK: fit === undefined ? NaN : paretoK(fit, visits) });
    from = to;
  }
  return Object.freeze({
    kind: 'left-out' as const,
    method: 'refits' as const,
    cases,
    probability,
    unmatchedShare: unmatched / total,
    floods: Object.freeze(floods),
    worstParetoK: floods.reduce((worst, f) => Math.max(worst, f.paretoK), -Infinity),
    undependableShare: undependable / total,
  });
}

function paretoK({ draws }: LevelFit, visits: readonly number[]): number {
  return draws.count === 0 ? NaN : weightsWithout(visits, { draws, n: draws.visitLogLik.length / draws.count }).paretoK;
}

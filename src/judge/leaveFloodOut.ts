import type { Aligned } from '../align/types.js';
import { aloneLogLik } from '../fit/aloneLogLik.js';
import type { LevelFit } from '../fit/types.js';
import { paretoSmooth } from '../kernel/pareto.js';
import { classFrequencies } from './frequencies.js';
import { gridPointOfDraws } from './gridPoint.js';
import { predictCase } from './predictCase.js';
import { verdictCases } from './verdictCases.js';
import type { VerdictCases } from './verdictCases.js';

/** Above this k̂ importance weights can't be trusted (Vehtari et al. 2024, "Pareto smoothed importance sampling", JMLR 25, 72). */
export const DEPENDABLE_K = 0.7;

/** What the chart would have said about every verdict had it never seen that verdict's flood. */
export interface LeftOut {
  readonly kind: 'left-out';
  /** Floods left out by a fit of their own; the others, and all where absent, by importance weights. */
  readonly refitted?: number;
  readonly cases: VerdictCases;
  /** P(class | x) per case: probability[c·K + k]; each case sums to 1. */
  readonly probability: Float64Array;
  /** Share of the cases' weight that had no reading and was given the logged frequencies. */
  readonly unmatchedShare: number;
  /** Per flood that holds a verdict: its number, how many visits it holds, and the k̂ of its weights. */
  readonly floods: readonly { readonly flood: number; readonly visits: number; readonly paretoK: number }[];
  readonly worstParetoK: number;
  /** Share of the cases' weight in floods whose k̂ is above 0.7. */
  readonly undependableShare: number;
}

/**
 * Predicts the verdicts of each flood from the draws with that flood left out. Leaving flood f out multiplies the posterior by
 * 1/Π L_i over the visits of f, so every draw gets that weight (Pareto-smoothed) in place of a new fit for each flood.
 *
 * The odds are those of the chart: mismatch and blur integrated out, average observer, and over the nodes of the visit's time
 * window. Each draw reads the gauge at its own lag and storage. Where no reading matches there, the case gets the class frequencies of the
 * other floods. The class of a case never enters its own odds: all visits of its flood are divided out together.
 *
 * @param fit equally weighted draws (D) with the log-likelihood of each visit.
 * @param aligned the visits that the fit was made from, same order.
 * @returns odds per case (C × K); without draws or verdicts no cases, and NaN for the shares.
 * @throws RangeError when fit and aligned hold different numbers of visits.
 */
export function leaveFloodOut(fit: LevelFit, aligned: Aligned): LeftOut {
  const { draws } = fit;
  const D = draws.count;
  const n = aligned.visitIds.length;
  if (draws.visitLogLik.length !== D * n)
    throw new RangeError(
      `leaveFloodOut: the fit holds the log-likelihood of ${draws.visitLogLik.length / D} visits a ` +
        `draw, aligned holds ${n} visits; give the aligned visits the fit was made from`,
    );
  const alone = { ...draws, visitLogLik: aloneLogLik(fit) };
  const cases = verdictCases(aligned);
  const C = D === 0 ? 0 : cases.visit.length;
  const K = cases.classes;
  const probability = new Float64Array(C * K);
  const points = gridPointOfDraws(aligned, draws);
  const floods: { flood: number; visits: number; paretoK: number }[] = [];
  let unmatched = 0;
  let undependable = 0;
  let total = 0;
  for (let from = 0; from < C;) {
    const flood = cases.flood[from];
    let to = from;
    while (to < C && cases.flood[to] === flood) to++;
    const visits: number[] = [];
    for (let i = 0; i < n; i++) if (aligned.flood[i] === flood) visits.push(i);
    const { weights, paretoK } = weightsWithout(visits, { draws: alone, n });
    floods.push({ flood, visits: visits.length, paretoK });
    const elsewhere = classFrequencies(cases, { exceptFlood: flood });
    for (let c = from; c < to; c++) {
      const missing = predictCase(probability, { c, cases, weights, points, fit, aligned });
      for (let k = 0; k < K; k++) probability[c * K + k] += missing * elsewhere[k];
      unmatched += missing * cases.weight[c];
      total += cases.weight[c];
      if (!(paretoK <= DEPENDABLE_K)) undependable += cases.weight[c];
    }
    from = to;
  }
  return {
    kind: 'left-out',
    cases,
    probability,
    unmatchedShare: unmatched / total,
    floods: floods,
    worstParetoK: floods.reduce((worst, f) => Math.max(worst, f.paretoK), -Infinity),
    undependableShare: undependable / total,
  };
}

/**
 * Pareto-smoothed weights 1/Π L_i of the draws, summing to 1. A draw under which one of these visits is impossible (likelihood 0 to
 * machine precision) gets the largest weight of the others and the flood counts as undependable.
 */
export function weightsWithout(
  visits: readonly number[],
  { draws, n }: { draws: LevelFit['draws']; n: number },
): { weights: Float64Array; paretoK: number } {
  const logWeights = new Float64Array(draws.count);
  let most = -Infinity;
  for (let d = 0; d < draws.count; d++) {
    for (const i of visits) logWeights[d] -= draws.visitLogLik[d * n + i];
    if (logWeights[d] < Infinity && logWeights[d] > most) most = logWeights[d];
  }
  let impossible = false;
  for (let d = 0; d < draws.count; d++) {
    if (logWeights[d] < Infinity) continue;
    impossible = true;
    logWeights[d] = Math.max(most, 0);
  }
  const { logWeights: smooth, k } = paretoSmooth(logWeights);
  return { weights: smooth.map(Math.exp), paretoK: impossible ? Infinity : k };
}

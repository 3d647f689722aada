import type { Aligned } from '../../align/types.js';
import { aloneLogLik } from '../../fit/aloneLogLik.js';
import type { LevelFit } from '../../fit/types.js';
import { paretoSmooth } from '../../kernel/pareto.js';
import { rankedProbabilityScore } from '../../kernel/rps.js';
import { floodSlots } from '../floodRatios.js';
import { classFrequencies } from '../frequencies.js';
import { DEPENDABLE_K } from '../leaveFloodOut.js';
import { verdictCases, type VerdictCases } from '../verdictCases.js';
import { oddsByDraw } from './oddsByDraw.js';

/** Ranked probability scores of one candidate, flood by flood (F floods that hold a verdict). */
export interface LeftOutScores {
  readonly cases: VerdictCases;
  readonly floods: readonly number[];
  /** Σ weight·RPS over the cases of flood f by odds that never saw flood f (F). */
  readonly scores: Float64Array;
  /** Σ weight·RPS over the cases of flood g by odds that saw neither f nor g: without[f·F + g]; the diagonal is `scores`. */
  readonly without: Float64Array;
  /** Odds with each case's own flood left out: probability[c·K + k]. */
  readonly probability: Float64Array;
  /** Share of the cases' weight in floods whose k̂ is above 0.7. */
  readonly undependableShare: number;
}

/**
 * Scores with one flood left out, and with every two floods left out. A choice among gauges that is made without flood f must be made by
 * scores that f had no part in; flood f is then scored as usual. Both from the draws of one fit: leaving floods out gives each draw the
 * weight 1/Π L_i over their visits, Pareto-smoothed.
 *
 * @param fit draws with each visit's ln likelihood (D > 0).
 * @param aligned the visits it was made from.
 * @returns with no verdicts, arrays without entries.
 */
export function leftOutScores(fit: LevelFit, aligned: Aligned): LeftOutScores {
  const cases = verdictCases(aligned);
  const K = cases.classes;
  const D = fit.draws.count;
  const odds = oddsByDraw(fit, aligned, { cases });
  const floods = [...new Set(cases.flood)];
  const F = floods.length;
  const slots = floodSlots({ cases, floods: floods.map((flood) => ({ flood, visits: 0, paretoK: 0 })) });
  const logLik = floods.map((flood) => floodLogLik(fit, aligned, flood));
  const elsewhere = floods.map((flood) => classFrequencies(cases, { exceptFlood: flood }));

  const probability = new Float64Array(cases.visit.length * K);
  const without = new Float64Array(F * F);
  const p = new Float64Array(K);
  let undependable = 0;
  let total = 0;
  for (let f = 0; f < F; f++)
    for (let g = f; g < F; g++) {
      const { weights, paretoK } = weightsWithout(g === f ? [logLik[f]] : [logLik[f], logLik[g]]);
      for (let c = 0; c < cases.visit.length; c++) {
        const own = slots[c];
        if (own !== f && own !== g) continue;
        predict(odds.subarray(c * D * K, (c + 1) * D * K), weights, { out: p, fallback: elsewhere[own] });
        const score = cases.weight[c] * rankedProbabilityScore(p, cases.classIndex[c]);
        // Without f, flood g is scored; without g, flood f.
        without[(own === g ? f : g) * F + own] += score;
        if (g !== f) continue;
        probability.set(p, c * K);
        total += cases.weight[c];
        if (!(paretoK <= DEPENDABLE_K)) undependable += cases.weight[c];
      }
    }
  return {
    cases,
    floods,
    scores: Float64Array.from(floods, (_, f) => without[f * F + f]),
    without,
    probability,
    undependableShare: total > 0 ? undependable / total : NaN,
  };
}

/** ln likelihood of all visits of a flood by each draw (D). */
function floodLogLik(fit: LevelFit, { flood: of, visitIds }: Aligned, flood: number): Float64Array {
  const n = visitIds.length;
  const D = fit.draws.count;
  const logLik = aloneLogLik(fit);
  const out = new Float64Array(D);
  for (let i = 0; i < n; i++) if (of[i] === flood) for (let d = 0; d < D; d++) out[d] += logLik[d * n + i];
  return out;
}

/** Smoothed weights 1/Π L; a draw under which a visit is impossible gets the largest of the others', and the flood is not dependable. */
function weightsWithout(logLik: readonly Float64Array[]): { weights: Float64Array; paretoK: number } {
  const log = logLik[0].map((_, d) => -logLik.reduce((sum, of) => sum + of[d], 0));
  let most = -Infinity;
  for (const w of log) if (w < Infinity && w > most) most = w;
  const impossible = log.some((w) => w === Infinity);
  const { logWeights, k } = paretoSmooth(impossible ? log.map((w) => (w === Infinity ? Math.max(most, 0) : w)) : log);
  return { weights: logWeights.map(Math.exp), paretoK: impossible ? Infinity : k };
}

/** Odds of one case (D × K by draw) under weights; draws without a reading say what was logged elsewhere. */
function predict(
  odds: Float64Array,
  weights: Float64Array,
  { out, fallback }: { out: Float64Array; fallback: Float64Array },
): void {
  const K = out.length;
  out.fill(0);
  for (let d = 0; d < weights.length; d++) {
    const w = weights[d];
    const from = odds[d * K] === odds[d * K] ? odds : fallback;
    const at = from === odds ? d * K : 0;
    for (let k = 0; k < K; k++) out[k] += w * from[at + k];
  }
}

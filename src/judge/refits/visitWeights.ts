import type { LevelFit } from '../../fit/types.js';
import { paretoSmooth } from '../../kernel/pareto.js';
import { VERDICT } from '../../series/visits.js';

/**
 * Where the median of each edge of the verdict would lie without each visit, by importance weights 1/L_i (Pareto-smoothed): cheap, and good enough to choose
 * the visits whose leaving out is worth a fit.
 *
 * @param fit equally weighted draws (D) with the log-likelihood of each visit.
 * @returns ln units: medians[edge][visit]; no edges without draws.
 */
export function mediansWithout({ features, draws }: Pick<LevelFit, 'features' | 'draws'>): number[][] {
  const verdict = features.find(({ id }) => id === VERDICT);
  const D = draws.count;
  if (verdict === undefined || D === 0) return [];
  const inner = verdict.classes.length - 1;
  const n = draws.visitLogLik.length / D;
  const orders = Array.from({ length: inner }, (_, k) => {
    const at = (d: number): number => verdict.edges[d * inner + k];
    return Int32Array.from({ length: D }, (_, d) => d).sort((a, b) => at(a) - at(b) || a - b);
  });
  const out = orders.map(() => new Array<number>(n).fill(NaN));
  const logWeights = new Float64Array(D);
  for (let i = 0; i < n; i++) {
    let most = -Infinity;
    for (let d = 0; d < D; d++) {
      logWeights[d] = -draws.visitLogLik[d * n + i];
      if (logWeights[d] < Infinity && logWeights[d] > most) most = logWeights[d];
    }
    // A draw under which the visit is impossible counts like the heaviest of the others.
    for (let d = 0; d < D; d++) if (!(logWeights[d] < Infinity)) logWeights[d] = Math.max(most, 0);
    const weights = paretoSmooth(logWeights).logWeights.map(Math.exp);
    orders.forEach((order, k) => {
      let below = 0;
      for (const d of order) {
        below += weights[d];
        if (below < 0.5) continue;
        out[k][i] = verdict.edges[d * inner + k];
        break;
      }
    });
  }
  return out;
}

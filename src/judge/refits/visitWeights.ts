import { aloneLogLik } from '../../fit/aloneLogLik.js';
import type { LevelFit } from '../../fit/types.js';
import { VERDICT } from '../../series/visits.js';
import { weightsWithout } from '../leaveFloodOut.js';

/**
 * Where the median of each edge of the verdict would lie without each visit, by importance weights 1/L_i (Pareto-smoothed).
 *
 * @param fit equally weighted draws (D) with the log-likelihood of each visit.
 * @returns ln units: medians[edge][visit], no edges without draws; the k̂ of each visit's weights.
 */
export function mediansWithout({ features, draws, lasting }: Pick<LevelFit, 'features' | 'draws' | 'lasting'>): {
  readonly medians: number[][];
  readonly paretoK: number[];
} {
  const verdict = features.find(({ id }) => id === VERDICT);
  const D = draws.count;
  if (verdict === undefined || D === 0) return { medians: [], paretoK: [] };
  const inner = verdict.classes.length - 1;
  const n = draws.visitLogLik.length / D;
  const alone = { ...draws, visitLogLik: aloneLogLik({ draws, lasting }) };
  const orders = Array.from({ length: inner }, (_, k) => {
    const at = (d: number): number => verdict.edges[d * inner + k];
    return Int32Array.from({ length: D }, (_, d) => d).sort((a, b) => at(a) - at(b) || a - b);
  });
  const medians = orders.map(() => new Array<number>(n).fill(NaN));
  const paretoK = Array.from({ length: n }, (_, i) => {
    const { weights, paretoK: k } = weightsWithout([i], { draws: alone, n });
    orders.forEach((order, edge) => {
      let below = 0;
      const middle = order.find((d) => (below += weights[d]) >= 0.5);
      if (middle !== undefined) medians[edge][i] = verdict.edges[middle * inner + edge];
    });
    return k;
  });
  return { medians, paretoK };
}

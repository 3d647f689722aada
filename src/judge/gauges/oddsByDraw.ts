import type { Aligned } from '../../align/types.js';
import type { LevelFit } from '../../fit/types.js';
import { VERDICT } from '../../series/visits.js';
import { cumulativeOdds } from '../cumulativeOdds.js';
import { gridPointOfDraws } from '../gridPoint.js';
import type { VerdictCases } from '../verdictCases.js';

/**
 * The odds of every scored verdict by every draw on its own: mismatch and blur integrated out, average observer, over the nodes of the
 * visit's time window. Weighted means of them over draws are odds with floods left out.
 *
 * @returns odds[(c·D + d)·K + k] for C cases, D draws, K classes; the K odds of a draw that finds no reading are NaN.
 */
export function oddsByDraw(fit: LevelFit, aligned: Aligned, { cases }: { cases: VerdictCases }): Float64Array {
  const { draws, link } = fit;
  const D = draws.count;
  const K = cases.classes;
  const N = aligned.nodeWeight.length;
  const n = aligned.visitIds.length;
  const m = aligned.sightingRow.length;
  const { edges, blur } = fit.features.find((f) => f.id === VERDICT)!;
  const points = gridPointOfDraws(aligned, draws);
  const out = new Float64Array(cases.visit.length * D * K).fill(NaN);
  const upTo = new Float64Array(K);
  const draw = { mismatch: 0, blur: 0, link };
  for (let c = 0; c < cases.visit.length; c++) {
    const i = cases.visit[c];
    for (let d = 0; d < D; d++) {
      const g = points[d];
      draw.mismatch = draws.mismatch[d];
      draw.blur = blur[d];
      const slope = aligned.slope[g * n + i];
      const limb = draws.limb[d] !== 0 && slope === slope ? draws.limb[d] * slope : 0;
      const moved = aligned.shift[g * m + cases.sighting[c]] + limb;
      let seen = 0;
      upTo.fill(0);
      for (let node = aligned.nodeStart[i]; node < aligned.nodeStart[i + 1]; node++) {
        const x = aligned.x[g * N + node];
        if (!(x === x)) continue;
        const q = aligned.nodeWeight[node];
        seen += q;
        for (let k = 0; k < K - 1; k++) upTo[k] += q * cumulativeOdds(edges[d * (K - 1) + k] - x - moved, draw);
      }
      if (!(seen > 0)) continue;
      upTo[K - 1] = seen;
      const at = (c * D + d) * K;
      for (let k = 0; k < K; k++) out[at + k] = (upTo[k] - (k > 0 ? upTo[k - 1] : 0)) / seen;
    }
  }
  return out;
}

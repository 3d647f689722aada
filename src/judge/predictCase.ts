import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { VERDICT } from '../series/visits.js';
import { cumulativeOdds } from './cumulativeOdds.js';
import type { VerdictCases } from './verdictCases.js';

/**
 * Adds what weighted draws of a fit say of case c into `out` (C × K) and returns the share of the weight that had no reading: mismatch and
 * blur integrated out, average observer, over the nodes of the visit's time window, each draw at its own lag and storage. D draws, K
 * classes, N nodes, m sightings, n visits.
 */
export function predictCase(
  out: Float64Array,
  {
    c,
    cases,
    weights,
    points,
    fit,
    aligned,
  }: {
    c: number;
    cases: VerdictCases;
    /** Weight of each draw (D) and its grid point. */
    weights: Float64Array;
    points: Int32Array;
    fit: Pick<LevelFit, 'features' | 'draws' | 'link'>;
    aligned: Aligned;
  },
): number {
  const { draws, link } = fit;
  const verdict = fit.features.find((f) => f.id === VERDICT)!;
  const K = cases.classes;
  const N = aligned.nodeWeight.length;
  const n = aligned.visitIds.length;
  const m = aligned.sightingRow.length;
  const i = cases.visit[c];
  const j = cases.sighting[c];
  const cumulative = new Float64Array(K - 1);
  const draw = { mismatch: 0, blur: 0, link };
  let missing = 0;
  for (let d = 0; d < draws.count; d++) {
    const w = weights[d];
    if (w === 0) continue;
    const g = points[d];
    draw.mismatch = draws.mismatch[d];
    draw.blur = verdict.blur[d];
    const slope = aligned.slope[g * n + i];
    const moved = aligned.shift[g * m + j] + (draws.limb[d] !== 0 && slope === slope ? draws.limb[d] * slope : 0);
    let seen = 0;
    cumulative.fill(0);
    for (let node = aligned.nodeStart[i]; node < aligned.nodeStart[i + 1]; node++) {
      const x = aligned.x[g * N + node];
      if (!(x === x)) continue;
      const q = aligned.nodeWeight[node];
      seen += q;
      for (let k = 0; k < K - 1; k++)
        cumulative[k] += q * cumulativeOdds(verdict.edges[d * (K - 1) + k] - x - moved, draw);
    }
    if (!(seen > 0)) {
      missing += w;
      continue;
    }
    let below = 0;
    for (let k = 0; k < K - 1; k++) {
      const upTo = cumulative[k] / seen;
      out[c * K + k] += w * (upTo - below);
      below = upTo;
    }
    out[c * K + K - 1] += w * (1 - below);
  }
  return missing;
}

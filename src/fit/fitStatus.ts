import { fixed } from '../series/format.js';
import type { Aligned } from '../align/types.js';
import { VERDICT } from '../series/visits.js';
import type { FitDiagnostics, FitStatus } from './types.js';

/** Importance weights with a k̂ above this are not to be relied on (Vehtari, Simpson, Gelman, Yao & Gabry, JMLR 25 (2024)). */
const DEPENDABLE_K = 0.7;

/** x at the first window node of each visit at grid point g; NaN where unmatched. */
function visitX(aligned: Aligned, g: number): Float64Array {
  const N = aligned.nodeWeight.length;
  return Float64Array.from(aligned.visitIds, (_, i) => {
    const middle = (aligned.nodeStart[i] + aligned.nodeStart[i + 1]) >> 1;
    return aligned.x[g * N + middle];
  });
}

/** True when no visit's gauge value differs from another's at any lag of the set. */
export function gaugeIsConstant(aligned: Aligned, set: readonly number[]): boolean {
  for (const g of set) {
    const x = visitX(aligned, g).filter((v) => v === v);
    if (x.some((v) => Math.abs(v - x[0]) > 1e-12)) return false;
  }
  return true;
}

/**
 * True when the verdict's classes don't overlap on the gauge at grid point g (and at least two were seen): the likelihood alone has no
 * maximum.
 */
export function isSeparated(aligned: Aligned, g: number): boolean {
  const verdict = aligned.features.findIndex((f) => f.id === VERDICT);
  const K = aligned.features[verdict]?.classes.length ?? 0;
  const lowest = new Float64Array(K).fill(Infinity);
  const highest = new Float64Array(K).fill(-Infinity);
  const x = visitX(aligned, g);
  for (let i = 0; i < x.length; i++)
    for (let j = aligned.sightingStart[i]; j < aligned.sightingStart[i + 1]; j++) {
      const k = aligned.sightingClass[j];
      if (aligned.sightingFeature[j] !== verdict || k < 0 || !(x[i] === x[i])) continue;
      lowest[k] = Math.min(lowest[k], x[i]);
      highest[k] = Math.max(highest[k], x[i]);
    }
  let top = -Infinity;
  let seen = 0;
  for (let k = 0; k < K; k++) {
    if (lowest[k] === Infinity) continue;
    if (lowest[k] <= top) return false;
    top = highest[k];
    seen++;
  }
  return seen >= 2;
}

/** The status in one sentence, for people; the first line of every summary. */
export function describeStatus(status: FitStatus, aligned: Aligned, { paretoK }: FitDiagnostics): string {
  const n = aligned.visitIds.length;
  switch (status) {
    case 'too-few-rows':
      return n === 0
        ? `No visit has a reading of gauge ${aligned.gauge}: nothing can be fitted.`
        : `Only ${n} ${n === 1 ? 'visit has' : 'visits have'} a reading of gauge ${aligned.gauge}: nothing can be fitted.`;
    case 'constant-gauge':
      return `Gauge ${aligned.gauge} showed the same value at every visit: it says nothing about this run.`;
    case 'singular':
      return 'The fit found no proper maximum: the numbers of this chart do not hold.';
    case 'iteration-limit':
      return 'The fit did not settle: the numbers of this chart do not hold.';
    case 'separated':
      return `The classes of the ${n} visits do not overlap on this gauge, so how sharp the edges are comes from the weak priors.`;
    case 'converged':
      return paretoK > DEPENDABLE_K
        ? `The fit settled, but its draws are uneven (k̂ ${fixed(paretoK, 2)}, above 0.7): take the intervals as rough.`
        : `The fit settled on ${n} visits.`;
  }
}

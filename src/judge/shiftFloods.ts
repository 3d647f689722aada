import type { Aligned } from '../align/types.js';
import { gaussHermite } from '../kernel/gaussHermite.js';
import { visitX } from './gridPoint.js';
import type { ShiftGrid } from './visitStates.js';

/** Probability that a visit is wrong altogether (its date, its run), so that its sightings say nothing about the state. */
const WRONG_VISIT = 0.02;
/** Nodes for what the visits of a flood have in common. */
const COMMON = gaussHermite(7);

/** The visits of one flood that have a reading, in time order. */
export interface FloodSpan {
  readonly flood: number;
  readonly visits: readonly number[];
}

/** Floods in time order with the visits that have a reading at any of these grid points; floods without one are left out. */
export function floodSpans(aligned: Aligned, points: Int32Array): readonly FloodSpan[] {
  const distinct = [...new Set(points)];
  const spans = new Map<number, number[]>();
  for (let visit = 0; visit < aligned.visitIds.length; visit++) {
    if (!distinct.some((point) => visitX(aligned, { visit, point }) === visitX(aligned, { visit, point }))) continue;
    const flood = aligned.flood[visit];
    const known = spans.get(flood);
    if (known === undefined) spans.set(flood, [visit]);
    else known.push(visit);
  }
  return [...spans].sort(([a], [b]) => a - b).map(([flood, visits]) => ({ flood, visits }));
}

/**
 * ln L_f(δ_k) of each flood (F × size) for each share of σ² that its visits have in common:
 *   L_f(δ) = E_u Π_{i∈f} L_i(δ + u; (1 - share)σ²), u ~ N(0, share·σ²).
 * A flood of one visit is that visit whatever the share.
 *
 * @param states per visit in the order of the spans: ln L_i on the grid for √(1 - share) times σ, one share after the other; the first
 *   share must be 0.
 */
export function floodLogLik(
  states: readonly Float64Array[],
  {
    spans,
    grid,
    sigma,
    shares,
  }: { spans: readonly FloodSpan[]; grid: ShiftGrid; sigma: number; shares: readonly number[] },
): readonly Float64Array[] {
  const size = 2 * grid.half + 1;
  const firm = states.map((state) => {
    const out = new Float64Array(state.length);
    for (let r = 0; r < shares.length; r++)
      out.set(withWrongVisits(state.subarray(r * size, (r + 1) * size)), r * size);
    return out;
  });
  return shares.map((share, r) => {
    const out = new Float64Array(spans.length * size);
    let at = 0;
    spans.forEach(({ visits }, f) => {
      const own = firm.slice(at, at + visits.length);
      at += visits.length;
      const target = out.subarray(f * size, (f + 1) * size);
      if (visits.length === 1) target.set(own[0].subarray(0, size));
      else if (share === 0) for (const state of own) for (let k = 0; k < size; k++) target[k] += state[k];
      else
        commonPart(
          own.map((state) => state.subarray(r * size, (r + 1) * size)),
          { target, move: (Math.sqrt(share) * sigma) / grid.step },
        );
    });
    return out;
  });
}

/** ln((1 - w)·L(δ) + w·mean of L over the grid). */
function withWrongVisits(logLik: Float64Array): Float64Array {
  let top = -Infinity;
  for (const v of logLik) if (v > top) top = v;
  // No shift of the grid explains it: then it says nothing.
  if (top === -Infinity) return new Float64Array(logLik.length);
  let mean = 0;
  for (const v of logLik) mean += Math.exp(v - top) / logLik.length;
  return logLik.map((v) => Math.log((1 - WRONG_VISIT) * Math.exp(v - top) + WRONG_VISIT * mean) + top);
}

/** target[k] = ln Σ_q w_q exp Σ_i ln L_i(k + move·z_q), between grid points by straight lines in ln L, beyond the grid its end value. */
function commonPart(states: readonly Float64Array[], { target, move }: { target: Float64Array; move: number }): void {
  const last = target.length - 1;
  const terms = new Float64Array(COMMON.nodes.length);
  for (let k = 0; k <= last; k++) {
    let top = -Infinity;
    for (let q = 0; q < terms.length; q++) {
      const position = Math.min(last, Math.max(0, k + move * COMMON.nodes[q]));
      const low = Math.min(last - 1, Math.floor(position));
      const part = position - low;
      let sum = 0;
      for (const state of states) sum += (1 - part) * state[low] + part * state[low + 1];
      terms[q] = sum;
      if (sum > top) top = sum;
    }
    let total = 0;
    for (let q = 0; q < terms.length; q++) total += COMMON.weights[q] * Math.exp(terms[q] - top);
    target[k] = top + Math.log(total);
  }
}

import { HOUR, STEP } from './clock.js';

/**
 * A discharge after one linear reservoir of `hours` (a lake, a flood plain, a reach full of pools): content / hours flows out, so the wave comes
 * later and flatter. Exact for input that is constant within a step.
 */
export function throughReservoir(flow: Float64Array, hours: number): Float64Array {
  const keep = Math.exp(-STEP / HOUR / hours);
  const out = new Float64Array(flow.length);
  let level = flow[0]!;
  for (let i = 0; i < flow.length; i++) {
    level = keep * level + (1 - keep) * flow[i]!;
    out[i] = level;
  }
  return out;
}

/** The same discharge `hours` later (a multiple of the step; the first value is repeated). */
export function delayed(flow: Float64Array, hours: number): Float64Array {
  const shift = Math.round((hours * HOUR) / STEP);
  return flow.map((_, i) => flow[Math.max(0, i - shift)]!);
}

export function sum(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((value, i) => value + b[i]!);
}

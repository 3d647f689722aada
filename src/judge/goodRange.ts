import type { LevelFit } from '../fit/types.js';
import { quantileSorted } from '../kernel/quantile.js';
import { VERDICT } from '../series/visits.js';
import { goodClasses } from './goodClasses.js';

/** An edge of the good range in the gauge's unit: median and width of its 80 % interval. */
export interface GoodEdge {
  readonly median: number;
  readonly width80: number;
}

/**
 * The edges of the good range by a fit's draws, gauge unit.
 * @returns null for an edge that there is none of: good is the lowest or the highest class, or nothing was fitted.
 */
export function goodRange(fit: LevelFit): { readonly lower: GoodEdge | null; readonly upper: GoodEdge | null } {
  const verdict = fit.features.find((f) => f.id === VERDICT);
  const D = fit.draws.count;
  if (verdict === undefined || verdict.classes.length < 2 || D === 0) return { lower: null, upper: null };
  const inner = verdict.classes.length - 1;
  const [low, high] = goodClasses(verdict.classes);
  const edge = (k: number): GoodEdge | null => {
    if (k < 0 || k >= inner) return null;
    const values = Float64Array.from(
      { length: D },
      (_, d) => fit.offset + Math.exp(verdict.edges[d * inner + k]),
    ).sort();
    return {
      median: quantileSorted(values, 0.5),
      width80: quantileSorted(values, 0.9) - quantileSorted(values, 0.1),
    };
  };
  return { lower: edge(low - 1), upper: edge(high) };
}

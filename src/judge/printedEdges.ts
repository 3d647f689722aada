import type { LevelFit } from '../fit/types.js';
import { goodClasses } from './goodClasses.js';
import type { JudgedEdge } from './judgement.js';
import { verdictEdges } from './refits/verdictEdges.js';
import { roundedEdges, type Rounded } from './roundSafer.js';

/** An edge of the verdict with the number that charts print for it. */
export interface PrintedEdge extends JudgedEdge, Rounded {
  readonly width80: number;
}

/** The verdict's edges by a fit's draws, ascending, gauge unit; none without draws. */
export function printedEdges(fit: LevelFit): readonly PrintedEdge[] {
  const edges = verdictEdges(fit).map((edge) => ({
    ...edge,
    width80: (edge.i80[1] ?? NaN) - (edge.i80[0] ?? NaN),
  }));
  if (edges.length === 0) return [];
  const good = goodClasses([edges[0].between[0], ...edges.map(({ between }) => between[1])]);
  const rounded = roundedEdges(edges, { good, positive: fit.parameter === 'discharge' });
  return edges.map((edge, k) => ({ ...edge, ...rounded[k] }));
}

/** The edges that good begins and ends at; null where good is the lowest or the highest class, or nothing was fitted. */
export function goodEdges(fit: LevelFit): {
  readonly lower: PrintedEdge | null;
  readonly upper: PrintedEdge | null;
} {
  const edges = printedEdges(fit);
  const [low, high] = goodClasses([edges[0]?.between[0] ?? '', ...edges.map(({ between }) => between[1])]);
  return { lower: edges[low - 1] ?? null, upper: edges[high] ?? null };
}

import { systematic } from '../../fit/drawPosterior.js';
import type { LevelFit } from '../../fit/types.js';
import { estimate } from '../../kernel/estimate.js';
import { VERDICT } from '../../series/visits.js';
import type { EdgeMove, JudgedEdge } from '../judgement.js';

/** Weighted draws are laid out as this many even ones. */
const EVEN_DRAWS = 2000;

/**
 * The verdict's edges in the gauge's unit, offset + exp(θ): median, 80 % and 95 % interval (quantiles of type 7) over draws.
 * @param fit draws (D); those of a refit come with weights that sum to 1.
 * @returns ascending; none without draws.
 */
export function verdictEdges(
  { features, draws, offset }: Pick<LevelFit, 'features' | 'draws' | 'offset'>,
  weights?: Float64Array,
): readonly JudgedEdge[] {
  const verdict = features.find(({ id }) => id === VERDICT);
  if (verdict === undefined || draws.count === 0) return [];
  const inner = verdict.classes.length - 1;
  const even = weights === undefined ? undefined : systematic(weights, EVEN_DRAWS, 0.5);
  return Array.from({ length: inner }, (_, k) => {
    const value = (d: number): number => offset + Math.exp(verdict.edges[d * inner + k]);
    const values =
      even === undefined
        ? Float64Array.from({ length: draws.count }, (_, d) => value(d))
        : Float64Array.from(even, value);
    return { between: [verdict.classes[k], verdict.classes[k + 1]] as const, ...estimate(values) };
  });
}

/**
 * Share of an edge's 80 % interval by which `to` lies off its median, on the ln scale of reading - offset; NaN for an interval without a
 * width.
 */
export function moveOf({ median, i80 }: JudgedEdge, { to, offset }: { to: number; offset: number }): number {
  const width = Math.log((i80[1] ?? NaN) - offset) - Math.log((i80[0] ?? NaN) - offset);
  return width > 0 ? (Math.log(to - offset) - Math.log(median - offset)) / width : NaN;
}

/** Each edge of a chart beside the same edge of another; edges whose move is no number are left out. */
export function edgeMoves(
  chart: readonly JudgedEdge[],
  { other, offset }: { other: readonly JudgedEdge[]; offset: number },
): readonly EdgeMove[] {
  return chart.flatMap((edge, k) => {
    const to = other[k]?.median ?? NaN;
    const move = moveOf(edge, { to, offset });
    return Number.isFinite(move)
      ? [Object.freeze({ between: edge.between, from: edge.median, to, i80: edge.i80, move })]
      : [];
  });
}

/** The largest move of some edges, 0 for none. */
export function largestMove(edges: readonly EdgeMove[]): number {
  return edges.reduce((most, { move }) => Math.max(most, Math.abs(move)), 0);
}

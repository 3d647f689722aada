import { zoneClock } from '../../series/time.js';
import type { JudgedEdge, JudgedInfluence } from '../judgement.js';
import { dayInWords, fromTo, moveShare, rowsInWords } from './moveWords.js';
import type { EdgesResult, JudgeContext } from './types.js';
import { moveOf } from './verdictEdges.js';

/**
 * For each edge of the verdict the visit whose leaving out moves it most. Weights choose the visits worth a fit, the fits decide; where
 * none of them came to anything, the weights' own figure stands.
 *
 * @param chart edges of the full fit.
 * @param results of the tasks that left a visit out.
 * @returns null without edges.
 */
export function influenceOf(
  { relation: { aligned, creek }, influence }: JudgeContext,
  { chart, results }: { chart: readonly JudgedEdge[]; results: readonly EdgesResult[] },
): JudgedInfluence | null {
  if (chart.length === 0) return null;
  const { offset, unit } = aligned;
  const clock = zoneClock(creek.timeZone);
  const fitted = results.filter(({ edges }) => edges.length === chart.length);
  const rows = chart.flatMap((edge, k) => {
    const byFit = fitted.map(({ id, edges }) => ({ visit: Number(id.slice('visit '.length)), to: edges[k].median }));
    const byWeight = (influence[k] ?? []).map((x, visit) => ({ visit, to: offset + Math.exp(x) }));
    const method = byFit.length > 0 ? ('refit' as const) : ('weights' as const);
    const moved = (byFit.length > 0 ? byFit : byWeight)
      .map((row) => ({ ...row, move: moveOf(edge, { to: row.to, offset }) }))
      .filter(({ move }) => Number.isFinite(move));
    if (moved.length === 0) return [];
    const { visit, to, move } = moved.reduce((best, row) => (Math.abs(row.move) > Math.abs(best.move) ? row : best));
    const { sightingRow, sightingStart } = aligned;
    const sightingRows = [...sightingRow.slice(sightingStart[visit], sightingStart[visit + 1]).sort()];
    const timeMs = aligned.visitTimesMs[visit];
    return [
      Object.freeze({
        between: edge.between,
        visit: aligned.visitIds[visit],
        timeMs,
        rows: Object.freeze(sightingRows),
        from: edge.median,
        to,
        move,
        method,
        sentence:
          `Without the visit of ${dayInWords(timeMs, clock)} (${rowsInWords(sightingRows)}) the edge between ${edge.between[0]} and` +
          ` ${edge.between[1]} would go from ${fromTo(edge.median, to, unit)}: ${moveShare(move)}.`,
      }),
    ];
  });
  return Object.freeze({ rows: Object.freeze(rows) });
}

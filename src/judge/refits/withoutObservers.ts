import type { JudgedEdge, JudgedObservers } from '../judgement.js';
import { fromTo, moveShare, NOTICEABLE } from './moveWords.js';
import type { EdgesResult, JudgeContext } from './types.js';
import { edgeMoves, largestMove } from './verdictEdges.js';

/**
 * What the chart would be without each observer, the one who matters most first.
 * @param results of the tasks that left an observer out; those without a fit are told among the problems.
 */
export function withoutObservers(
  { relation: { aligned } }: JudgeContext,
  { chart, results }: { chart: readonly JudgedEdge[]; results: readonly EdgesResult[] },
): JudgedObservers['without'] {
  const rows = results
    .filter(({ edges }) => edges.length > 0)
    .map(({ id, edges: other, visits }) => {
      const observer = id.slice('observer '.length);
      const edges = edgeMoves(chart, { other, offset: aligned.offset });
      const largest = largestMove(edges);
      const most = edges.find(({ move }) => Math.abs(move) === largest);
      const gone = aligned.visitIds.length - visits;
      const lost = gone === 0 ? '' : ` (and the ${gone === 1 ? 'one visit' : `${gone} visits`} only they logged)`;
      const sentence =
        most === undefined || largest <= NOTICEABLE
          ? `Without ${observer}${lost} no edge would move by more than a quarter of its 80 % interval.`
          : `Without ${observer}${lost} the edge between ${most.between[0]} and ${most.between[1]} would go from ` +
            `${fromTo(most.from, most.to, aligned.unit)}: ${moveShare(most.move)}.`;
      return Object.freeze({ observer, edges: Object.freeze(edges), largestMove: largest, sentence });
    });
  return Object.freeze(rows.sort((a, b) => b.largestMove - a.largestMove || (a.observer < b.observer ? -1 : 1)));
}

import { listed } from '../../series/format.js';
import type { Link } from '../../fit/types.js';
import type { JudgedEdge, JudgedSensitivity } from '../judgement.js';
import { fromTo, NOTICEABLE } from './moveWords.js';
import { otherLink } from './runJudgeTask.js';
import type { EdgesResult, JudgeContext, Variant } from './types.js';
import { edgeMoves, largestMove } from './verdictEdges.js';

const SAYS: Readonly<Record<Variant, (link: Link) => string>> = {
  'priors-half': () => 'with priors half as wide',
  'priors-double': () => 'with priors twice as wide',
  'other-link': (link) => `with the ${link === 'logit' ? 'logistic' : 'normal'} curve for the odds around an edge`,
  'other-interpolation': () => 'with the last reading standing until the next one comes',
};

/**
 * The chart under other assumptions that nobody could call wrong. Flagged where an edge moves by more than a quarter of its 80 % interval:
 * there the assumption, not the log, says where the edge lies.
 *
 * @param results of the variants' tasks; those without a fit are left out here and told among the problems.
 * @returns null without any.
 */
export function sensitivityOf(
  { relation: { aligned, fits } }: JudgeContext,
  { chart, results }: { chart: readonly JudgedEdge[]; results: readonly EdgesResult[] },
): JudgedSensitivity | null {
  const variants = results
    .filter(({ edges }) => edges.length > 0)
    .map(({ id, edges: other }) => {
      const variant = id as Variant;
      const link = variant === 'other-link' ? otherLink(fits.effective.link) : fits.effective.link;
      const edges = edgeMoves(chart, { other, offset: aligned.offset });
      const largest = largestMove(edges);
      return Object.freeze({
        variant,
        says: SAYS[variant](link),
        link,
        edges: Object.freeze(edges),
        largestMove: largest,
        flagged: largest > NOTICEABLE,
      });
    });
  if (variants.length === 0) return null;
  const flagged = variants.filter((v) => v.flagged);
  const most = variants.reduce((worst, v) => (v.largestMove > worst.largestMove ? v : worst));
  const worst = most.edges.find(({ move }) => Math.abs(move) === most.largestMove);
  const fromWhereTo =
    worst === undefined
      ? ''
      : `; the most, between ${worst.between[0]} and ${worst.between[1]}, from ${fromTo(worst.from, worst.to, aligned.unit)}`;
  const sentence =
    flagged.length === 0
      ? `Other assumptions (${listed(variants.map(({ says }) => says))}) move no edge by more than a quarter of its 80 % interval.`
      : `Assumptions matter here: ${listed(flagged.map(({ says }) => says))} an edge moves by more than a quarter of its 80 % interval` +
        `${fromWhereTo}. Take the wider view of where that edge lies.`;
  return Object.freeze({ variants: Object.freeze(variants), sentence });
}

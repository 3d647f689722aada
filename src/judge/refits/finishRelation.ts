import type { Way } from '../../fit/types.js';
import type { JudgedEdge } from '../judgement.js';
import type { LeftOut } from '../leaveFloodOut.js';
import { influenceOf } from './influenceOf.js';
import { ASKS_EDGES } from './planRelation.js';
import { leadCurve } from './leadCurve.js';
import { refitProblems } from './refitProblems.js';
import { sensitivityOf } from './sensitivityOf.js';
import type {
  EdgesResult,
  FloodResult,
  JudgeResult,
  JudgeTask,
  LeadResult,
  NextLookResult,
  RelationPlan,
  RelationRefits,
  SuspectsResult,
} from './types.js';
import { verdictEdges } from './verdictEdges.js';
import { withoutObservers } from './withoutObservers.js';
import { withRefits } from './withRefits.js';

/**
 * What the fits of a plan told, put together. Pure: results are found by the task's id, so neither their order nor the cores that made them
 * matter.
 *
 * @param results one a task of the plan, in any order.
 * @throws RangeError where a task has no result.
 */
export function finishRelation({ context, tasks }: RelationPlan, results: readonly JudgeResult[]): RelationRefits {
  const byId = new Map(results.map((result) => [result.id, result]));
  const missing = tasks.find(({ id }) => !byId.has(id));
  if (missing !== undefined) throw new RangeError(`finishRelation: no result for '${missing.id}' of ${context.label}`);
  const of = (kind: JudgeTask['kind']): JudgeResult[] =>
    tasks.filter((task) => task.kind === kind).map(({ id }) => byId.get(id)!);
  const floods = of('flood') as FloodResult[];
  const edges = (kind: JudgeTask['kind']): EdgesResult[] => of(kind) as EdgesResult[];
  const chart = ASKS_EDGES.includes(context.depth) ? verdictEdges(context.relation.fits[context.way]) : [];
  const left = (way: Way): LeftOut | null => {
    const byWeights = context.first.left[way];
    return byWeights && withRefits(byWeights, floods, { way });
  };
  const leftOut = {
    effective: left('effective'),
    'one-reading': left('one-reading'),
    'as-it-stands': left('as-it-stands'),
  };
  const span = (id: 'before' | 'after'): readonly JudgedEdge[] | null => {
    const found = edges('span').find((result) => result.id === id)?.edges ?? [];
    return found.length === 0 ? null : found;
  };
  return {
    depth: context.depth,
    leftOut,
    suspects: (of('suspects') as SuspectsResult[])[0]?.suspects,
    nextLook: (of('next-look') as NextLookResult[])[0]?.nextLook,
    leadCurve: chart.length > 0 ? leadCurve(context, of('lead') as LeadResult[]) : null,
    without: withoutObservers(context, { chart, results: edges('observer') }),
    influence: influenceOf(context, { chart, results: edges('visit') }),
    sensitivity: sensitivityOf(context, { chart, results: edges('variant') }),
    before: span('before'),
    after: span('after'),
    problems:
      context.depth === 'visits'
        ? []
        : refitProblems(context, { floods, edges: results.filter((result) => result.kind === 'edges'), leftOut }),
  };
}

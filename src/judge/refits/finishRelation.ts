import type { LevelFit } from '../../fit/types.js';
import type { JudgedEdge } from '../judgement.js';
import type { LeftOut } from '../leaveFloodOut.js';
import { gatherLeftOut } from './gatherLeftOut.js';
import { influenceOf } from './influenceOf.js';
import { leadCurve } from './leadCurve.js';
import { refitProblems } from './refitProblems.js';
import { sensitivityOf } from './sensitivityOf.js';
import type { EdgesResult, FloodResult, JudgeResult, JudgeTask, RelationPlan, RelationRefits } from './types.js';
import { verdictEdges } from './verdictEdges.js';
import { withoutObservers } from './withoutObservers.js';

/**
 * What the fits of a plan told, put together. Pure: results are found by the task's id, so neither their order nor the cores that made them matter.
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
  const { fits } = context.relation;
  const chart = context.depth === 'full' ? verdictEdges(fits[context.way]) : [];
  const left = (question: number, fit?: LevelFit): LeftOut | null =>
    floods.length === 0 || (fit !== undefined && fit.draws.count === 0)
      ? null
      : gatherLeftOut(context, floods, { question, ...(fit === undefined ? {} : { fit }) });
  const leftOut = {
    effective: left(0, fits.effective),
    'one-reading': left(1, fits['one-reading']),
    'as-it-stands': left(2),
  };
  const span = (id: 'before' | 'after'): readonly JudgedEdge[] | null => {
    const result = edges('span').find((r) => r.id === id);
    return result === undefined || result.edges.length === 0 ? null : result.edges;
  };
  return Object.freeze({
    leftOut: Object.freeze(leftOut),
    leadCurve: context.depth === 'full' && floods.length > 0 ? leadCurve(context, floods) : null,
    without: withoutObservers(context, { chart, results: edges('observer') }),
    influence: influenceOf(context, { chart, results: edges('visit') }),
    sensitivity: sensitivityOf(context, { chart, results: edges('variant') }),
    before: span('before'),
    after: span('after'),
    problems: refitProblems(context, {
      floods,
      edges: tasks.filter(({ kind }) => kind !== 'flood').map(({ id }) => byId.get(id) as EdgesResult),
      leftOut,
    }),
  });
}

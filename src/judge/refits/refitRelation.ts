import { warmStarts } from '../../fit/warmStart.js';
import { finishRelation } from './finishRelation.js';
import { runJudgeTask } from './runJudgeTask.js';
import {
  questionsOf,
  type JudgeContext,
  type JudgeResult,
  type Prepared,
  type RelationPlan,
  type RelationRefits,
} from './types.js';

/** Draws that each question can count on. */
const DRAWS = { floods: 300, edges: 500 } as const;

/** Where the fits of a relation start: modes and draws of the full fit. Pure; the same context gives the same start. */
export function prepareRelation({ relation, starts, way, seed }: JudgeContext): Prepared {
  const { aligned, fits, gridPrior } = relation;
  const { leadHours } = fits.effective;
  const floods = starts.floods ? [questionsOf(relation).map((question) => ({ ...question, draws: DRAWS.floods }))] : [];
  const edges = starts.edges ? [[{ way, leadHours, draws: DRAWS.edges }]] : [];
  const made = warmStarts(aligned, fits, { wanted: [...floods, ...edges], seed, gridPrior });
  return {
    floods: (starts.floods ? made[0] : undefined) ?? null,
    edges: (starts.edges ? made[floods.length] : undefined) ?? null,
  };
}

/** All tasks of a plan here and now, put together: what the cores of a machine do together. */
export function refitRelation(plan: RelationPlan): RelationRefits {
  return finishRelation(plan, runRefits(plan));
}

/** The results of a plan's tasks, here and now, in order. */
export function runRefits({ context, tasks }: RelationPlan): readonly JudgeResult[] {
  if (tasks.length === 0) return [];
  const prepared = prepareRelation(context);
  return tasks.map((task) => runJudgeTask(context, prepared, task));
}

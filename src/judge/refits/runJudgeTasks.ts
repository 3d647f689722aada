import { prepareRelation } from './prepareRelation.js';
import { runJudgeTask } from './runJudgeTask.js';
import { runTasks, type Craft, type RunOptions } from './runTasks.js';
import type { JudgeContext, JudgeResult, JudgeTask, Prepared, RelationPlan } from './types.js';

/** How a judgement's fits are done. */
export const judgeCraft: Craft<JudgeContext, Prepared, JudgeTask, JudgeResult> = {
  start: { make: prepareRelation },
  task: runJudgeTask,
};

/**
 * All tasks of some plans, here and now, in order.
 * @returns results in the order of the tasks, one list a plan; the same as on many cores.
 * @throws Error naming the task, where one throws; its cause is the original error.
 * @example runJudgeTasks([planRelation(relation)])
 */
export function runJudgeTasks(
  plans: readonly RelationPlan[],
  options: RunOptions = {},
): readonly (readonly JudgeResult[])[] {
  return runTasks(plans, () => judgeCraft, options);
}

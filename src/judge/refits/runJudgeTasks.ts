import { prepareRelation } from './prepareRelation.js';
import { runJudgeTask } from './runJudgeTask.js';
import type { JudgeResult, RelationPlan } from './types.js';

/** How far a list of plans is done: all preparations and tasks count one each. */
export interface TaskProgress {
  readonly done: number;
  readonly total: number;
  readonly label: string;
}

/** What there is to count for some plans: one preparation for each that has tasks, and the tasks. */
export function stepsOf(plans: readonly RelationPlan[]): number {
  return plans.reduce((sum, { tasks }) => sum + (tasks.length > 0 ? 1 + tasks.length : 0), 0);
}

/** The name of a task in words. */
export function taskLabel({ context }: RelationPlan, id: string): string {
  return `${context.label}: ${id}`;
}

/**
 * All tasks of some plans, here and now, in order.
 * @returns results in the order of the tasks, one list a plan; the same as on many cores.
 * @throws Error naming the task, where one throws; its cause is the original error.
 * @example runJudgeTasks([planRelation(relation)])
 */
export function runJudgeTasks(
  plans: readonly RelationPlan[],
  { onProgress }: { readonly onProgress?: (progress: TaskProgress) => void } = {},
): readonly (readonly JudgeResult[])[] {
  const total = stepsOf(plans);
  let done = 0;
  const step = <T>(plan: RelationPlan, id: string, work: () => T): T => {
    const label = taskLabel(plan, id);
    let out: T;
    try {
      out = work();
    } catch (error) {
      throw taskError(label, error);
    }
    onProgress?.({ done: ++done, total, label });
    return out;
  };
  return plans.map((plan) => {
    if (plan.tasks.length === 0) return [];
    const prepared = step(plan, PREPARING, () => prepareRelation(plan.context));
    return plan.tasks.map((task) => step(plan, task.id, () => runJudgeTask(plan.context, prepared, task)));
  });
}

/** Name of the first step of every plan. */
export const PREPARING = 'start';

/** An error that says which task it came from. */
export function taskError(label: string, error: unknown): Error {
  const message = error instanceof Error ? error.message : String(error);
  return new Error(`${label}: ${message}`, { cause: error });
}

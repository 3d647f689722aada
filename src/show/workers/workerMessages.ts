import type { WorkContext, WorkPlan, WorkResult, WorkStart, WorkTask } from './workPlans.js';

/** What every worker is born with: kinds and contexts of all plans, by their number. */
export interface WorkerBirth {
  readonly plans: readonly { readonly kind: WorkPlan['kind']; readonly context: WorkContext }[];
}

/** One step of a plan for a worker to do. A start that the worker doesn't have yet comes with the first task that needs it. */
export type Order =
  | { readonly kind: 'start'; readonly plan: number }
  | { readonly kind: 'task'; readonly plan: number; readonly task: WorkTask; readonly start?: WorkStart };

/** What came of an order. Errors travel as their message: an Error's own fields don't all survive the journey. */
export type Answer =
  | { readonly kind: 'started'; readonly start: WorkStart }
  | { readonly kind: 'result'; readonly result: WorkResult }
  | { readonly kind: 'failed'; readonly message: string };

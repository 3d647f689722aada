import type { JudgeContext, JudgeResult, JudgeTask, Prepared } from '../../judge/refits/types.js';

/** What every worker is born with: the contexts of all plans, by their number. */
export interface WorkerBirth {
  readonly contexts: readonly JudgeContext[];
}

/** One step of a plan for a worker to do. A start that the worker doesn't have yet comes with the first task that needs it. */
export type Order =
  | { readonly kind: 'prepare'; readonly plan: number }
  | { readonly kind: 'task'; readonly plan: number; readonly task: JudgeTask; readonly prepared?: Prepared };

/** What came of an order. Errors travel as their message: an Error's own fields don't all survive the journey. */
export type Answer =
  | { readonly kind: 'prepared'; readonly prepared: Prepared }
  | { readonly kind: 'result'; readonly result: JudgeResult }
  | { readonly kind: 'failed'; readonly message: string };

import type { Context, Plan, Result, Start, Task } from '../../chart/jobs.js';

/** One step of a plan for a worker to do. What the worker doesn't know of the plan yet comes with it. */
export interface Order {
  readonly plan: number;
  readonly kind: Plan['kind'];
  readonly context?: Context;
  readonly start?: Start;
  /** Undefined: make the start of the plan. */
  readonly task?: Task;
}

/** What came of an order. Errors travel as their message: an Error's own fields don't all survive the journey. */
export type Answer =
  | { readonly kind: 'started'; readonly start: Start }
  | { readonly kind: 'result'; readonly result: Result }
  | { readonly kind: 'failed'; readonly message: string };

/** Tasks over one context, as plain data that can go to other cores. */
export interface TaskPlan<C extends { readonly label: string }, T extends { readonly id: string }> {
  readonly context: C;
  readonly tasks: readonly T[];
}

/** How the tasks of one kind of plan are done. Pure: the same context, start and task give the same result on any core. */
export interface Craft<C, S, T, R> {
  /** Made once a plan, before its first task; null where the tasks need none. */
  readonly start: { make(context: C): S } | null;
  task(context: C, start: S, task: T): R;
}

/** How far a list of plans is done: all starts and tasks count one each. */
export interface TaskProgress {
  readonly done: number;
  readonly total: number;
  readonly label: string;
}

export interface RunOptions {
  readonly onProgress?: ((progress: TaskProgress) => void) | undefined;
  /** Once it is aborted, no further task is begun. */
  readonly signal?: AbortSignal | undefined;
}

/** Name of the step that makes a plan's start. */
export const PREPARING = 'start';

/** What there is to count for some plans: the start of each that has tasks and needs one, and the tasks. */
export function stepsOf<P extends { readonly tasks: readonly unknown[] }>(
  plans: readonly P[],
  needsStart: (plan: P) => boolean,
): number {
  return plans.reduce(
    (sum, plan) => sum + (plan.tasks.length > 0 ? (needsStart(plan) ? 1 : 0) + plan.tasks.length : 0),
    0,
  );
}

/** The name of a task in words. */
export function taskLabel({ context }: { readonly context: { readonly label: string } }, id: string): string {
  return `${context.label}: ${id}`;
}

/** An error that says which task it came from. */
export function taskError(label: string, error: unknown): Error {
  const message = error instanceof Error ? error.message : String(error);
  return new Error(`${label}: ${message}`, { cause: error });
}

/**
 * All tasks of some plans, here and now, in order.
 * @returns results in the order of the tasks, one list a plan; the same as on many cores.
 * @throws Error naming the task, where one throws; its cause is the original error. The reason of `signal` once it is aborted.
 */
export function runTasks<
  C extends { readonly label: string },
  S,
  T extends { readonly id: string },
  R,
  P extends TaskPlan<C, T>,
>(
  plans: readonly P[],
  craftOf: (plan: P) => Craft<C, S, T, R>,
  { onProgress, signal }: RunOptions = {},
): readonly (readonly R[])[] {
  const total = stepsOf(plans, (plan) => craftOf(plan).start !== null);
  let done = 0;
  const step = <O>(plan: P, id: string, work: () => O): O => {
    signal?.throwIfAborted();
    const label = taskLabel(plan, id);
    let out: O;
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
    const craft = craftOf(plan);
    const { start } = craft;
    // A craft without a start never looks at it.
    const made = start === null ? (undefined as S) : step(plan, PREPARING, () => start.make(plan.context));
    return plan.tasks.map((task) => step(plan, task.id, () => craft.task(plan.context, made, task)));
  });
}

import { prepareRelation } from '../judge/refits/refitRelation.js';
import { runJudgeTask } from '../judge/refits/runJudgeTask.js';
import type { JudgeContext, JudgeResult, JudgeTask, Prepared, RelationPlan } from '../judge/refits/types.js';
import { fitPair, type FitsContext, type FitsPlan, type FittedPair, type FitTask } from './fitCreek.js';
import { runGaugesTask } from './gauges/runGaugesTask.js';
import type { GaugesContext, GaugesPlan, GaugesResult, GaugesTask } from './gauges/taskTypes.js';

/** Everything of a creek that may be done on other cores: plain data. */
export type Plan = FitsPlan | GaugesPlan | RelationPlan;
export type Context = FitsContext | GaugesContext | JudgeContext;
export type Task = FitTask | GaugesTask | JudgeTask;
/** What the tasks of a plan start from; made once a plan. */
export type Start = Prepared | undefined;

/** What the tasks of a kind of plan come to. */
export type ResultOf<P extends Plan> = P extends RelationPlan
  ? JudgeResult
  : P extends GaugesPlan
    ? GaugesResult
    : FittedPair;
export type Result = ResultOf<Plan>;
export type ResultsOf<P extends readonly Plan[]> = { readonly [I in keyof P]: readonly ResultOf<P[I]>[] };

/** How the tasks of one kind of plan are done. Pure: the same context, start and task give the same result on any core. */
export interface Job {
  /** Made before the first task; null where the tasks need none. */
  readonly start: ((context: Context) => Start) | null;
  task(context: Context, start: Start, task: Task): Result;
}

/** A plan's context and tasks always come with its kind, so that they fit. */
export const JOBS = {
  'fits-plan': { start: null, task: (context: FitsContext, _: Start, task: FitTask) => fitPair(context, task) },
  'gauges-plan': {
    start: null,
    task: (context: GaugesContext, _: Start, task: GaugesTask) => runGaugesTask(context, task),
  },
  'relation-plan': { start: prepareRelation, task: runJudgeTask },
} as unknown as Readonly<Record<Plan['kind'], Job>>;

/** How far a list of plans is done: all starts and tasks count one each. */
export interface Progress {
  readonly done: number;
  readonly total: number;
  readonly label: string;
}

export interface RunOptions {
  readonly onProgress?: ((progress: Progress) => void) | undefined;
  /** Once it is aborted, no further task is begun. */
  readonly signal?: AbortSignal | undefined;
}

/**
 * Does all tasks of some plans: in this process (`runHere`) or on the cores of a machine. Where a result comes from changes nothing in it.
 * @returns results in the order of the tasks, one list a plan.
 */
export type Runner = <const P extends readonly Plan[]>(plans: P, options?: RunOptions) => Promise<ResultsOf<P>>;

/** What there is to count for some plans: the start of each that has tasks and needs one, and the tasks. */
export function stepsOf(plans: readonly Plan[]): number {
  return plans.reduce((sum, { kind, tasks: { length } }) => sum + length + (length > 0 && JOBS[kind].start ? 1 : 0), 0);
}

/** Name of a step, in words; `task` undefined: the start. */
export function stepLabel({ context: { label } }: Plan, task: Task | undefined): string {
  return `${label}: ${task?.id ?? 'start'}`;
}

/** An error that says which step it came from. */
export function stepError(label: string, error: unknown): Error {
  const message = error instanceof Error ? error.message : String(error);
  return new Error(`${label}: ${message}`, { cause: error });
}

/**
 * All tasks here and now, in order.
 * @throws Error naming the task, where one throws; its cause is the original error. The reason of `signal` once it is aborted.
 */
export const runHere: Runner = async (plans, { onProgress, signal } = {}) => {
  const total = stepsOf(plans);
  let done = 0;
  const step = async <O>(plan: Plan, task: Task | undefined, work: () => O): Promise<O> => {
    signal?.throwIfAborted();
    const label = stepLabel(plan, task);
    let out: O;
    try {
      out = work();
    } catch (error) {
      throw stepError(label, error);
    }
    onProgress?.({ done: ++done, total, label });
    // Between steps others of this process have a turn, an abort among them.
    await Promise.resolve();
    return out;
  };
  const results: Result[][] = [];
  for (const plan of plans as readonly Plan[]) {
    const job = JOBS[plan.kind];
    const { context, tasks } = plan;
    const start = job.start && tasks.length > 0 ? await step(plan, undefined, () => job.start!(context)) : undefined;
    const own: Result[] = [];
    for (const task of tasks) own.push(await step(plan, task, () => job.task(context, start, task)));
    results.push(own);
  }
  return results as never;
};

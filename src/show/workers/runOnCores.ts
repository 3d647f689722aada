import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { PREPARING, runTasks, stepsOf, taskError, taskLabel, type RunOptions } from '../../judge/refits/runTasks.js';
import { stepQueue, type Step } from './stepQueue.js';
import type { Answer, Order, WorkerBirth } from './workerMessages.js';
import { craftOf, type ResultOf, type WorkPlan, type WorkResult, type WorkStart } from './workPlans.js';

export interface CoresOptions extends RunOptions {
  /** Workers at most; default all cores of the machine. 1: in this process. */
  readonly cores?: number | undefined;
}

/** Fewer steps than this a worker, and starting it takes longer than it saves. */
const LEAST_STEPS_EACH = 2;

/**
 * All tasks of some plans on the cores of this machine. Each step goes to the next worker that is free; where a result comes from changes nothing in it.
 *
 * From TypeScript sources (in the tests of this project) there is no file that a worker could start from, and all is done in this process.
 *
 * @returns results in the order of the tasks, one list a plan: the same as in one process.
 * @throws RangeError unless `cores` is a whole number above 0; Error naming the task where one fails, and the reason of `signal` once it is aborted: both after all workers
 *   are stopped. In one process the signal is looked at between tasks.
 * @example const results = await runOnCores(plan.plans, { onProgress: ({ done, total }) => console.error(done, total) })
 */
export async function runOnCores<const P extends readonly WorkPlan[]>(
  plans: P,
  { cores = availableParallelism(), onProgress, signal }: CoresOptions = {},
): Promise<{ readonly [I in keyof P]: readonly ResultOf<P[I]>[] }> {
  checkCores(cores);
  signal?.throwIfAborted();
  const steps = stepsOf(plans, needsStart);
  const count = workersFor(steps, cores);
  // Results stand in the order of the plans, each of its plan's kind.
  type Results = { readonly [I in keyof P]: readonly ResultOf<P[I]>[] };
  if (count < 2)
    return runTasks<WorkPlan['context'], WorkStart, WorkPlan['tasks'][number], WorkResult, WorkPlan>(plans, craftOf, {
      onProgress,
      signal,
    }) as Results;
  const birth: WorkerBirth = { plans: plans.map(({ kind, context }) => ({ kind, context })) };
  const workers = Array.from(
    { length: count },
    () => new Worker(new URL('./taskWorker.js', import.meta.url), { workerData: birth }),
  );
  const over = new AbortController();
  try {
    return (await handOut(plans, workers, { total: steps, onProgress, signal, over: over.signal })) as Results;
  } finally {
    over.abort();
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}

/** @throws RangeError unless `cores` is a whole number above 0. */
export function checkCores(cores: number): void {
  if (!(Number.isInteger(cores) && cores > 0))
    throw new RangeError(`runOnCores: cores must be a whole number above 0, got ${cores}`);
}

/** How many workers so many steps would be given; 1: it would be done in this process. */
export function workersFor(steps: number, cores = availableParallelism()): number {
  return import.meta.url.endsWith('.js') ? Math.max(1, Math.min(cores, Math.floor(steps / LEAST_STEPS_EACH))) : 1;
}

function needsStart(plan: WorkPlan): boolean {
  return craftOf(plan).start !== null;
}

/** Gives every free worker the next step until all are done. */
function handOut(
  plans: readonly WorkPlan[],
  workers: readonly Worker[],
  {
    total,
    onProgress,
    signal,
    over,
  }: { total: number; /** Aborted once all is done, so that `signal` is let go. */ over: AbortSignal } & RunOptions,
): Promise<readonly (readonly WorkResult[])[]> {
  const results = plans.map(({ tasks }) => new Array<WorkResult>(tasks.length));
  const starts = new Map<number, WorkStart>();
  const known = workers.map(() => new Set<number>());
  const queue = stepQueue(
    plans.map((plan) => ({ tasks: plan.tasks.length, needsStart: needsStart(plan) })),
    { ahead: workers.length },
  );
  let done = 0;
  return new Promise((resolve, reject) => {
    const idle = new Set<number>(workers.keys());
    const at = new Map<number, Step>();
    const send = (w: number, step: Step): void => {
      const { plan } = step;
      idle.delete(w);
      at.set(w, step);
      const news = step.task >= 0 && starts.has(plan) && !known[w]!.has(plan);
      known[w]!.add(plan);
      const order: Order =
        step.task < 0
          ? { kind: 'start', plan }
          : { kind: 'task', plan, task: plans[plan]!.tasks[step.task]!, ...(news && { start: starts.get(plan)! }) };
      workers[w]!.postMessage(order);
    };
    const feed = (): void => {
      for (const w of [...idle]) {
        const step = queue.next();
        if (step === undefined) return;
        send(w, step);
      }
    };
    const label = ({ plan, task }: Step): string =>
      taskLabel(plans[plan]!, task < 0 ? PREPARING : plans[plan]!.tasks[task]!.id);
    const take = (answer: Exclude<Answer, { kind: 'failed' }>, w: number, step: Step): void => {
      if (answer.kind === 'started') {
        starts.set(step.plan, answer.start);
        queue.ready(step.plan);
      } else results[step.plan]![step.task] = answer.result;
      idle.add(w);
      done++;
      onProgress?.({ done, total, label: label(step) });
      if (done === total) resolve(results);
      else feed();
    };
    signal?.addEventListener('abort', () => reject(signal.reason as Error), { once: true, signal: over });
    workers.forEach((worker, w) => {
      const fail = (error: unknown): void => {
        const step = at.get(w);
        reject(step === undefined ? (error as Error) : taskError(label(step), error));
      };
      worker.on('error', fail);
      worker.on('exit', () => fail(new Error('the worker stopped before it was done')));
      worker.on('messageerror', fail);
      worker.on('message', (answer: Answer) => {
        // What still comes in after the end is nobody's any more.
        if (signal?.aborted === true) return;
        const step = at.get(w)!;
        if (answer.kind === 'failed') return fail(new Error(answer.message));
        // What is thrown in here would be nobody's: this is no part of the promise.
        try {
          take(answer, w, step);
        } catch (error) {
          reject(error as Error);
        }
      });
    });
    feed();
  });
}

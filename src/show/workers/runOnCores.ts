import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import {
  PREPARING,
  runJudgeTasks,
  stepsOf,
  taskError,
  taskLabel,
  type TaskProgress,
} from '../../judge/refits/runJudgeTasks.js';
import type { JudgeResult, Prepared, RelationPlan } from '../../judge/refits/types.js';
import type { Answer, Order, WorkerBirth } from './workerMessages.js';

export interface CoresOptions {
  /** Workers at most; default all cores of the machine. 1: in this process. */
  readonly cores?: number;
  readonly onProgress?: (progress: TaskProgress) => void;
}

/** Fewer steps than this a worker, and starting it takes longer than it saves. */
const LEAST_STEPS_EACH = 2;

/**
 * All tasks of some plans on the cores of this machine. Each step goes to the next worker that is free; where a result comes from changes nothing in it.
 *
 * From TypeScript sources (in the tests of this project) there is no file that a worker could start from, and all is done in this process.
 *
 * @returns results in the order of the tasks, one list a plan: the same as `runJudgeTasks` gives.
 * @throws RangeError unless `cores` is a whole number above 0; Error naming the task where one fails, after all workers are stopped.
 * @example const results = await runOnCores(plan.plans, { onProgress: ({ done, total }) => console.error(done, total) })
 */
export async function runOnCores(
  plans: readonly RelationPlan[],
  { cores = availableParallelism(), onProgress }: CoresOptions = {},
): Promise<readonly (readonly JudgeResult[])[]> {
  if (!(Number.isInteger(cores) && cores > 0))
    throw new RangeError(`runOnCores: cores must be a whole number above 0, got ${cores}`);
  const steps = stepsOf(plans);
  const count = Math.min(cores, Math.floor(steps / LEAST_STEPS_EACH));
  if (count < 2 || !import.meta.url.endsWith('.js')) return runJudgeTasks(plans, { onProgress });
  const birth: WorkerBirth = { contexts: plans.map(({ context }) => context) };
  const workers = Array.from(
    { length: count },
    () => new Worker(new URL('./judgeWorker.js', import.meta.url), { workerData: birth }),
  );
  try {
    return await handOut(plans, workers, { total: steps, onProgress });
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}

interface Step {
  readonly plan: number;
  /** -1: the start of the plan. */
  readonly task: number;
}

/** Gives every free worker the next step until all are done. */
function handOut(
  plans: readonly RelationPlan[],
  workers: readonly Worker[],
  { total, onProgress }: { total: number; onProgress: CoresOptions['onProgress'] },
): Promise<readonly (readonly JudgeResult[])[]> {
  const results = plans.map(({ tasks }) => new Array<JudgeResult>(tasks.length));
  const starts = new Map<number, Prepared>();
  const known = workers.map(() => new Set<number>());
  const queue = createQueue(plans, workers.length);
  let done = 0;
  return new Promise((resolve, reject) => {
    const idle = new Set<number>(workers.keys());
    const at = new Map<number, Step>();
    const send = (w: number, step: Step): void => {
      const { plan } = step;
      idle.delete(w);
      at.set(w, step);
      const news = step.task >= 0 && !known[w]!.has(plan);
      known[w]!.add(plan);
      const order: Order =
        step.task < 0
          ? { kind: 'prepare', plan }
          : { kind: 'task', plan, task: plans[plan]!.tasks[step.task]!, ...(news && { prepared: starts.get(plan)! }) };
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
    workers.forEach((worker, w) => {
      const fail = (error: unknown): void => {
        const step = at.get(w);
        reject(step === undefined ? (error as Error) : taskError(label(step), error));
      };
      worker.on('error', fail);
      worker.on('exit', () => fail(new Error('the worker stopped before it was done')));
      worker.on('message', (answer: Answer) => {
        const step = at.get(w)!;
        if (answer.kind === 'failed') return fail(new Error(answer.message));
        if (answer.kind === 'prepared') {
          starts.set(step.plan, answer.prepared);
          queue.ready(step.plan);
        } else results[step.plan]![step.task] = answer.result;
        idle.add(w);
        done++;
        onProgress?.({ done, total, label: label(step) });
        if (done === total) resolve(results);
        else feed();
      });
    });
    feed();
  });
}

/** The order of steps: starts are made a little ahead, so that nobody waits for one. */
function createQueue(
  plans: readonly RelationPlan[],
  ahead: number,
): { readonly next: () => Step | undefined; readonly ready: (plan: number) => void } {
  const waiting = plans.flatMap(({ tasks }, plan) => (tasks.length > 0 ? [plan] : []));
  const open: { plan: number; from: number }[] = [];
  let starting = 0;
  return {
    ready(plan) {
      starting--;
      open.push({ plan, from: 0 });
      open.sort((a, b) => a.plan - b.plan);
    },
    next() {
      if (waiting.length > 0 && open.length + starting < ahead) {
        starting++;
        return { plan: waiting.shift()!, task: -1 };
      }
      const first = open[0];
      if (first === undefined) return undefined;
      const step = { plan: first.plan, task: first.from++ };
      if (first.from === plans[first.plan]!.tasks.length) open.shift();
      return step;
    },
  };
}

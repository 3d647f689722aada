import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import {
  JOBS,
  runHere,
  stepError,
  stepLabel,
  stepsOf,
  type Plan,
  type Result,
  type Runner,
  type RunOptions,
  type Start,
} from '../../chart/jobs.js';
import type { Answer, Order } from './workerMessages.js';

/** The cores of this machine, started when they are first needed and kept until they are stopped. */
export interface CorePool {
  /**
   * All tasks of some plans. Each step goes to the next worker that is free; where a result comes from changes nothing in it.
   * @throws Error naming the task where one fails, and the reason of `signal` once it is aborted: both after all workers are stopped.
   */
  readonly run: Runner;
  stop(): Promise<void>;
}

/** Fewer steps than this a worker, and starting it takes longer than it saves. */
const LEAST_STEPS_EACH = 2;

/**
 * From TypeScript sources (in the tests of this project) there is no file that a worker could start from, and all is done in this process.
 *
 * @param options.cores workers at most; default all cores of the machine. 1: in this process.
 * @throws RangeError unless `cores` is a whole number above 0.
 * @example const pool = corePool(); const result = await chartCreek(input, { runner: pool.run }).finally(pool.stop);
 */
export function corePool({ cores = availableParallelism() }: { cores?: number | undefined } = {}): CorePool {
  if (!(Number.isInteger(cores) && cores > 0))
    throw new RangeError(`corePool: cores must be a whole number above 0, got ${cores}`);
  const built = import.meta.url.endsWith('.js');
  let hands: Hand[] = [];
  let firstPlan = 0;
  const stop = async (): Promise<void> => {
    const gone = hands;
    hands = [];
    await Promise.all(gone.map(({ worker }) => worker.terminate()));
  };
  const run: Runner = async (plans, options = {}) => {
    options.signal?.throwIfAborted();
    const steps = stepsOf(plans);
    const wanted = built ? Math.min(cores, Math.floor(steps / LEAST_STEPS_EACH)) : 1;
    if (wanted < 2 && hands.length < 2) return runHere(plans, options);
    while (hands.length < wanted)
      hands.push({
        worker: new Worker(new URL('./taskWorker.js', import.meta.url)),
        contexts: new Set(),
        starts: new Set(),
      });
    const from = firstPlan;
    firstPlan += plans.length;
    try {
      return (await handOut(plans, hands, { ...options, from, total: steps })) as never;
    } catch (error) {
      await stop();
      throw error;
    }
  };
  return { run, stop };
}

/** A worker, and the plans it knows. */
interface Hand {
  readonly worker: Worker;
  readonly contexts: Set<number>;
  readonly starts: Set<number>;
}

interface Step {
  readonly plan: number;
  /** -1: the start of the plan. */
  readonly task: number;
}

/** Gives every free worker the next step until all are done. */
function handOut(
  plans: readonly Plan[],
  hands: readonly Hand[],
  { from, total, onProgress, signal }: { from: number; total: number } & RunOptions,
): Promise<readonly (readonly Result[])[]> {
  const results = plans.map(({ tasks }) => new Array<Result>(tasks.length));
  const starts = new Map<number, Start>();
  const queue = stepQueue(plans, { ahead: hands.length });
  const over = new AbortController();
  // Four listeners a worker are let go at the end.
  setMaxListeners(0, over.signal);
  let done = 0;
  return new Promise<readonly (readonly Result[])[]>((resolve, reject) => {
    if (total === 0) return resolve(results);
    const at = new Map<Hand, Step>();
    const send = (hand: Hand, step: Step): void => {
      const plan = plans[step.plan]!;
      const number = from + step.plan;
      at.set(hand, step);
      const order: Order = {
        plan: number,
        kind: plan.kind,
        ...(!hand.contexts.has(number) && { context: plan.context }),
        ...(step.task >= 0 && starts.has(step.plan) && !hand.starts.has(number) && { start: starts.get(step.plan)! }),
        ...(step.task >= 0 && { task: plan.tasks[step.task]! }),
      };
      hand.contexts.add(number);
      if (step.task < 0 || starts.has(step.plan)) hand.starts.add(number);
      hand.worker.postMessage(order);
    };
    const feed = (): void => {
      for (const hand of hands) {
        if (at.has(hand)) continue;
        const step = queue.next();
        if (step === undefined) return;
        send(hand, step);
      }
    };
    const label = ({ plan, task }: Step): string => stepLabel(plans[plan]!, plans[plan]!.tasks[task]);
    const take = (answer: Exclude<Answer, { kind: 'failed' }>, step: Step): void => {
      if (answer.kind === 'started') {
        starts.set(step.plan, answer.start);
        queue.ready(step.plan);
      } else results[step.plan]![step.task] = answer.result;
      done++;
      onProgress?.({ done, total, label: label(step) });
      if (done === total) resolve(results);
      else feed();
    };
    const { signal: ended } = over;
    signal?.addEventListener('abort', () => reject(signal.reason as Error), { once: true, signal: ended });
    for (const hand of hands) {
      const { worker } = hand;
      const fail = (error: unknown): void => {
        const step = at.get(hand);
        reject(step === undefined ? (error as Error) : stepError(label(step), error));
      };
      const listen = (event: string, listener: (value: never) => void): void => {
        worker.on(event, listener as (value: unknown) => void);
        ended.addEventListener('abort', () => worker.off(event, listener as (value: unknown) => void));
      };
      listen('error', fail);
      listen('exit', () => fail(new Error('the worker stopped before it was done')));
      listen('messageerror', fail);
      listen('message', (answer: Answer) => {
        const step = at.get(hand)!;
        if (answer.kind === 'failed') return fail(new Error(answer.message));
        at.delete(hand);
        // What is thrown in here would be nobody's: this is no part of the promise.
        try {
          take(answer, step);
        } catch (error) {
          reject(error as Error);
        }
      });
    }
    feed();
  }).finally(() => over.abort());
}

interface StepQueue {
  /** The next step that can be done now; undefined while none can. */
  next(): Step | undefined;
  /** The start of a plan is made: its tasks can be done. */
  ready(plan: number): void;
}

/**
 * The order of steps. Tasks that need no start come first, in order of their plans: they are few and long. Starts are made a little ahead,
 * so that nobody waits for one.
 *
 * @param options.ahead plans that may be started or open at once.
 */
function stepQueue(plans: readonly Plan[], { ahead }: { ahead: number }): StepQueue {
  const some = [...plans.keys()].filter((plan) => plans[plan]!.tasks.length > 0);
  const waiting = some.filter((plan) => JOBS[plans[plan]!.kind].start !== null);
  const free = some.filter((plan) => !waiting.includes(plan)).map((plan) => ({ plan, from: 0 }));
  const open: { plan: number; from: number }[] = [];
  let starting = 0;
  return {
    ready(plan) {
      starting--;
      open.push({ plan, from: 0 });
      open.sort((a, b) => a.plan - b.plan);
    },
    next() {
      const list = free.length > 0 ? free : open;
      if (free.length === 0 && waiting.length > 0 && open.length + starting < ahead) {
        starting++;
        return { plan: waiting.shift()!, task: -1 };
      }
      const first = list[0];
      if (first === undefined) return undefined;
      const step = { plan: first.plan, task: first.from++ };
      if (first.from === plans[first.plan]!.tasks.length) list.shift();
      return step;
    },
  };
}

import { parentPort } from 'node:worker_threads';
import { JOBS, type Context, type Start } from '../../chart/jobs.js';
import type { Answer, Order } from './workerMessages.js';

/*
 * A worker of the pool: does one order after the other, and knows nothing of the others.
 */
const contexts = new Map<number, Context>();
const starts = new Map<number, Start>();

parentPort?.on('message', (order: Order) => {
  let answer: Answer;
  try {
    answer = done(order);
  } catch (error) {
    answer = { kind: 'failed', message: error instanceof Error ? error.message : String(error) };
  }
  parentPort?.postMessage(answer);
});

function done({ plan, kind, context, start, task }: Order): Answer {
  if (context !== undefined) {
    // Plans of an earlier run are over when a later one begins.
    for (const known of contexts.keys())
      if (known < plan - KEPT) [contexts, starts].forEach((map) => map.delete(known));
    contexts.set(plan, context);
  }
  if (start !== undefined) starts.set(plan, start);
  const own = contexts.get(plan)!;
  const job = JOBS[kind];
  if (task !== undefined) return { kind: 'result', result: job.task(own, starts.get(plan), task) };
  const made = job.start!(own);
  starts.set(plan, made);
  return { kind: 'started', start: made };
}

/** Plans that a run may have open at once. */
const KEPT = 64;

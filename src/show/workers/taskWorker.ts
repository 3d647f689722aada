import { parentPort, workerData } from 'node:worker_threads';
import type { Answer, Order, WorkerBirth } from './workerMessages.js';
import { craftOf, type WorkStart } from './workPlans.js';

/*
 * A worker of the pool: does one order after the other, and knows nothing of the others.
 */
const { plans } = workerData as WorkerBirth;
const starts = new Map<number, WorkStart>();

parentPort?.on('message', (order: Order) => {
  let answer: Answer;
  try {
    answer = obey(order);
  } catch (error) {
    answer = { kind: 'failed', message: error instanceof Error ? error.message : String(error) };
  }
  parentPort?.postMessage(answer);
});

function obey(order: Order): Answer {
  const plan = plans[order.plan]!;
  const craft = craftOf(plan);
  if (order.kind === 'start') {
    const start = craft.start!.make(plan.context);
    starts.set(order.plan, start);
    return { kind: 'started', start };
  }
  if (order.start !== undefined) starts.set(order.plan, order.start);
  return { kind: 'result', result: craft.task(plan.context, starts.get(order.plan), order.task) };
}

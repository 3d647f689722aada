import { parentPort, workerData } from 'node:worker_threads';
import { prepareRelation } from '../../judge/refits/prepareRelation.js';
import { runJudgeTask } from '../../judge/refits/runJudgeTask.js';
import type { Prepared } from '../../judge/refits/types.js';
import type { Answer, Order, WorkerBirth } from './workerMessages.js';

/*
 * A worker of the pool: does one order after the other, and knows nothing of the others.
 */
const { contexts } = workerData as WorkerBirth;
const starts = new Map<number, Prepared>();

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
  const context = contexts[order.plan]!;
  if (order.kind === 'prepare') {
    const prepared = prepareRelation(context);
    starts.set(order.plan, prepared);
    return { kind: 'prepared', prepared };
  }
  if (order.prepared !== undefined) starts.set(order.plan, order.prepared);
  return { kind: 'result', result: runJudgeTask(context, starts.get(order.plan)!, order.task) };
}

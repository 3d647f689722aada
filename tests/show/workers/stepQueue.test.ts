import { describe, expect, it } from 'vitest';
import { stepQueue } from '../../../src/show/workers/stepQueue.js';

const started = (tasks: number) => ({ tasks, needsStart: true });
const free = (tasks: number) => ({ tasks, needsStart: false });

describe('the order of steps', () => {
  it('tasks that need no start first, then starts a little ahead, then tasks in the order of their plans', () => {
    const queue = stepQueue([started(2), free(2), started(1), free(0), started(1)], { ahead: 2 });
    const said = Array.from({ length: 5 }, () => queue.next());
    expect(said).toEqual([
      { plan: 1, task: 0 },
      { plan: 1, task: 1 },
      { plan: 0, task: -1 },
      { plan: 2, task: -1 },
      undefined,
    ]);
    queue.ready(2);
    queue.ready(0);
    expect(Array.from({ length: 3 }, () => queue.next())).toEqual([
      { plan: 0, task: 0 },
      { plan: 0, task: 1 },
      { plan: 4, task: -1 },
    ]);
    expect(queue.next()).toEqual({ plan: 2, task: 0 });
    expect(queue.next()).toBeUndefined();
    queue.ready(4);
    expect(queue.next()).toEqual({ plan: 4, task: 0 });
    expect(queue.next()).toBeUndefined();
  });

  it('is empty where there is nothing to do', () => {
    expect(stepQueue([started(0), free(0)], { ahead: 2 }).next()).toBeUndefined();
  });
});

/** One step of a list of plans. */
export interface Step {
  readonly plan: number;
  /** -1: the start of the plan. */
  readonly task: number;
}

export interface StepQueue {
  /** The next step that can be done now; undefined while none can. */
  next(): Step | undefined;
  /** The start of a plan is made: its tasks can be done. */
  ready(plan: number): void;
}

/**
 * The order of steps. Tasks that need no start come first, in order of their plans: they are few and long. Starts are made a little ahead, so that nobody waits for one.
 *
 * @param plans how many tasks each has, and whether they need a start. @param ahead plans that may be started or open at once.
 */
export function stepQueue(
  plans: readonly { readonly tasks: number; readonly needsStart: boolean }[],
  { ahead }: { ahead: number },
): StepQueue {
  const some = plans.map((_, plan) => plan).filter((plan) => plans[plan]!.tasks > 0);
  const waiting = some.filter((plan) => plans[plan]!.needsStart);
  const free = some.filter((plan) => !plans[plan]!.needsStart).map((plan) => ({ plan, from: 0 }));
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
      if (first.from === plans[first.plan]!.tasks) list.shift();
      return step;
    },
  };
}

import { judgeRelation, type JudgeOptions, type WithRefits } from '../judge/judgeRelation.js';
import type { Judgement } from '../judge/judgement.js';
import type { Craft } from '../judge/refits/runTasks.js';
import { shiftOf, type ShiftFinding } from '../judge/shift.js';
import type { ReadingWay } from '../fit/types.js';
import type { Relation } from './fitCreek.js';

/** What is known of a relation before it is judged. */
export interface RelationKnown {
  readonly shift: ShiftFinding | null;
  readonly given?: WithRefits | undefined;
}

/** What is asked of the fits of a creek, relation by relation, as plain data that can go to other cores. */
export interface JudgingPlan {
  readonly kind: 'judging-plan';
  readonly context: JudgingContext;
  readonly tasks: readonly JudgingTask[];
}

export interface JudgingContext {
  /** In words, for progress and errors. */
  readonly label: string;
  readonly relations: readonly Pick<Relation, 'run' | 'record' | 'aligned' | 'fits'>[];
}

/** `at`: place of the relation in the context. `shift`: did the bed move, by this way of reading. `judge`: everything else, from what is known. */
export type JudgingTask =
  | { readonly kind: 'shift'; readonly id: string; readonly at: number; readonly way: ReadingWay }
  | {
      readonly kind: 'judge';
      readonly id: string;
      readonly at: number;
      readonly options: JudgeOptions;
      readonly known: RelationKnown | undefined;
    };

export type JudgingResult =
  | { readonly kind: 'shift'; readonly id: string; readonly at: number; readonly finding: ShiftFinding }
  | { readonly kind: 'judge'; readonly id: string; readonly at: number; readonly judgement: Judgement };

/** How a creek's relations are looked at and judged. */
export const judgingCraft: Craft<JudgingContext, undefined, JudgingTask, JudgingResult> = {
  start: null,
  task: (context, _, task) => runJudgingTask(context, task),
};

/** One task. Pure: the same context and task give the same result on any core. */
export function runJudgingTask({ relations }: JudgingContext, task: JudgingTask): JudgingResult {
  const { id, at } = task;
  const { aligned, fits } = relations[at];
  if (task.kind === 'shift')
    return Object.freeze({
      kind: task.kind,
      id,
      at,
      finding: shiftOf(fits[task.way], aligned),
    });
  const { shift = null, given } = task.known ?? {};
  return Object.freeze({
    kind: task.kind,
    id,
    at,
    judgement: judgeRelation({ ...relations[at], shift }, { ...task.options, given }),
  });
}

import { fitPair, type FitsContext, type FitsPlan, type FittedPair, type FitTask } from '../../chart/fitCreek.js';
import { gaugesCraft } from '../../chart/gauges/runGaugesTask.js';
import type { GaugesContext, GaugesPlan, GaugesResult, GaugesTask } from '../../chart/gauges/taskTypes.js';
import {
  judgingCraft,
  type JudgingContext,
  type JudgingPlan,
  type JudgingResult,
  type JudgingTask,
} from '../../chart/judgingTasks.js';
import { judgeCraft } from '../../judge/refits/runJudgeTasks.js';
import type { Craft } from '../../judge/refits/runTasks.js';
import type { JudgeContext, JudgeResult, JudgeTask, Prepared, RelationPlan } from '../../judge/refits/types.js';

/** Everything that is done on all cores. */
export type WorkPlan = RelationPlan | GaugesPlan | FitsPlan | JudgingPlan;
export type WorkContext = JudgeContext | GaugesContext | FitsContext | JudgingContext;
export type WorkTask = JudgeTask | GaugesTask | FitTask | JudgingTask;
export type WorkStart = Prepared | undefined;

/** What the tasks of a kind of plan come to. */
export type ResultOf<P extends WorkPlan> = P extends RelationPlan
  ? JudgeResult
  : P extends GaugesPlan
    ? GaugesResult
    : P extends FitsPlan
      ? FittedPair
      : JudgingResult;
export type WorkResult = ResultOf<WorkPlan>;

/** How the tasks of a kind of plan are done. A plan's context and tasks always come with its kind, so that they fit. */
export function craftOf({ kind }: Pick<WorkPlan, 'kind'>): Craft<WorkContext, WorkStart, WorkTask, WorkResult> {
  return CRAFTS[kind];
}

const fitsCraft: Craft<FitsContext, undefined, FitTask, FittedPair> = {
  start: null,
  task: (context, _, task) => fitPair(context, task),
};

const CRAFTS: Readonly<Record<WorkPlan['kind'], Craft<WorkContext, WorkStart, WorkTask, WorkResult>>> = {
  'relation-plan': judgeCraft as Craft<WorkContext, WorkStart, WorkTask, WorkResult>,
  'fits-plan': fitsCraft as Craft<WorkContext, WorkStart, WorkTask, WorkResult>,
  'judging-plan': judgingCraft as Craft<WorkContext, WorkStart, WorkTask, WorkResult>,
  'gauges-plan': gaugesCraft as Craft<WorkContext, WorkStart, WorkTask, WorkResult>,
};

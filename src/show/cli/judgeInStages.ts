import { finishGauges } from '../../chart/gauges/finishGauges.js';
import { planGauges, planRankings } from '../../chart/gauges/planGauges.js';
import type { GaugesResult } from '../../chart/gauges/taskTypes.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { FittedCreek } from '../../chart/fitCreek.js';
import {
  gatherJudged,
  judgementsOf,
  knownOf,
  planCreek,
  planJudgements,
  planShifts,
  type CreekPlan,
  type JudgedCreek,
} from '../../chart/judgeCreek.js';
import type { RelationKnown } from '../../chart/judgingTasks.js';
import type { CreekChart } from '../../chart/types.js';
import { runOnCores } from '../workers/runOnCores.js';
import type { Progress } from './showProgress.js';

export type Depth = 'full' | 'quick';

export interface StagesOptions {
  readonly depth: Depth;
  readonly cores?: number | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Said before the first step. */
  readonly label?: string;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
}

type Report = StagesOptions['onProgress'];

/** Shares of the whole at which each stage of a full judgement ends. */
const ENDS = { shifts: 0.08, tasks: 0.86 };

/** Judges a charted creek: quickly by weights, or with all fits of their own; both on all cores. */
export async function judgeInStages(
  fitted: FittedCreek,
  first: JudgedCreek,
  { depth, cores, signal, label = 'how far to trust it', onProgress }: StagesOptions,
): Promise<JudgedCreek> {
  if (depth === 'quick') return first;
  onProgress?.({ done: 0, total: 1, label });
  const plan = await planOnCores(fitted, first, { cores, signal, onProgress });
  const results = await runOnCores(plan.plans, {
    cores,
    signal,
    onProgress: within(onProgress, ENDS.shifts, ENDS.tasks),
  });
  return closing(fitted, {
    known: knownOf(plan, results),
    cores,
    signal,
    onProgress: within(onProgress, ENDS.tasks, 1),
  });
}

/** Judges a fitted creek by weights, on all cores. */
export function judgeQuickly(fitted: FittedCreek, { cores, signal, onProgress }: StagesOptions): Promise<JudgedCreek> {
  return closing(fitted, { cores, signal, onProgress });
}

/** Compares the gauges of a charted creek on all cores, without judging it. */
export async function gaugesInStages(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth, cores, signal, onProgress }: StagesOptions,
): Promise<CreekGauges> {
  const plans = [planRankings(fitted, { depth }), planGauges(fitted, chart, { depth })];
  const results = await runOnCores(plans, { onProgress, cores, signal });
  return finishGauges(fitted, chart, results.flat());
}

/** Both together: what is left of one keeps the cores busy with the other. */
export async function judgeAndCompare(
  fitted: FittedCreek,
  first: JudgedCreek,
  { label = 'how far to trust it', ...options }: StagesOptions,
): Promise<JudgedCreek & { readonly gauges: CreekGauges }> {
  const { depth, cores, signal, onProgress } = options;
  const rankings = planRankings(fitted, { depth });
  const finish = (results: readonly GaugesResult[]) => finishGauges(fitted, first.chart, results);
  if (depth === 'quick') {
    const [ranked] = await runOnCores([rankings], { cores, signal, onProgress });
    return { ...first, gauges: finish(ranked) };
  }
  onProgress?.({ done: 0, total: 1, label });
  const plan = await planOnCores(fitted, first, { cores, signal, onProgress });
  const gaugesPlan = planGauges(fitted, first.chart, { depth });
  const [ranked, lags, ...judged] = await runOnCores([rankings, gaugesPlan, ...plan.plans], {
    onProgress: within(onProgress, ENDS.shifts, ENDS.tasks),
    cores,
    signal,
  });
  return {
    ...(await closing(fitted, {
      known: knownOf(plan, judged),
      cores,
      signal,
      onProgress: within(onProgress, ENDS.tasks, 1),
    })),
    gauges: finish([...ranked, ...lags]),
  };
}

type OnCores = Pick<StagesOptions, 'cores' | 'signal' | 'onProgress'>;

/** Looks for shifts, which the plan of a full judgement depends on. */
async function planOnCores(
  fitted: FittedCreek,
  { trust }: JudgedCreek,
  { cores, signal, onProgress }: OnCores,
): Promise<CreekPlan> {
  const first = judgementsOf(fitted, trust);
  const [shifts] = await runOnCores([planShifts(fitted, first)], {
    cores,
    signal,
    onProgress: within(onProgress, 0, ENDS.shifts),
  });
  return planCreek(fitted, first, { shifts });
}

/** The judgement itself, relation by relation. */
async function closing(
  fitted: FittedCreek,
  { known = [], cores, signal, onProgress }: OnCores & { readonly known?: readonly RelationKnown[] },
): Promise<JudgedCreek> {
  const [results] = await runOnCores([planJudgements(fitted, { known })], { cores, signal, onProgress });
  return gatherJudged(fitted, results);
}

/** Progress of a part as progress of the whole, from one share of it to another. */
function within(report: Report, from: number, to: number): Report {
  return report && (({ done, total, label }) => report({ done: from + ((to - from) * done) / total, total: 1, label }));
}

import type { ReadingWay } from '../fit/types.js';
import { isUsableGrade } from '../judge/grade.js';
import type { Judgement } from '../judge/judgement.js';
import { finishRelation } from '../judge/refits/finishRelation.js';
import { planRelation } from '../judge/refits/planRelation.js';
import { runJudgeTasks } from '../judge/refits/runJudgeTasks.js';
import type { JudgeResult, RelationPlan } from '../judge/refits/types.js';
import type { Rule } from '../judge/rule.js';
import type { CreekInput } from '../read/types.js';
import { creekChart } from './chartCreek.js';
import { deepFreeze } from './deepFreeze.js';
import { fitCreek, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { levelChart } from './levelChart.js';
import { runJudgingTask, type JudgingPlan, type JudgingResult, type RelationKnown } from './judgingTasks.js';
import { relationSeed } from './relationSeed.js';
import { sureGood } from './sureGood.js';
import type { CreekChart, TrustFile } from './types.js';

/** A chart and how far to trust it; both say the same grade. */
export interface JudgedCreek {
  readonly kind: 'judged-creek';
  readonly chart: CreekChart;
  readonly trust: TrustFile;
}

export interface JudgeOptions extends ChartOptions {
  /**
   * `full`: every flood left out by a fit of its own, and for gauges that carry a plan also what deciding early costs, what single visits and observers do, and what other
   * assumptions would say. `quick`: by importance weights, without those. Default 'full'.
   */
  readonly depth?: 'full' | 'quick';
}

/**
 * The level chart of a creek together with the whole judgement of how far to trust it, here and now on one core. (`sightstage chart` does the same on all of them.)
 *
 * @param input a creek as read by `readCreek` or `loadCreekFolder`.
 * @param options as for `chartCreek`, and `depth`. `full` takes 10 to 20 s for each run and gauge that carries a plan.
 * @returns frozen plain data, the same for the same input, options and seed.
 * @throws RangeError as `chartCreek`.
 * @example const { trust } = judgeCreek(input, { depth: 'quick' }); trust.runs[0]?.gauges[0]?.scores?.sentence
 */
export function judgeCreek(input: CreekInput, { depth = 'full', ...options }: JudgeOptions = {}): JudgedCreek {
  if (input.creek === undefined)
    throw new RangeError('judgeCreek: creek.json could not be read; see the issues of the input');
  const fitted = fitCreek(input, options);
  const first = judgeFitted(fitted);
  if (depth === 'quick') return first;
  const plan = planCreek(fitted, judgementsOf(fitted, first.trust));
  return finishCreek(plan, runJudgeTasks(plan.plans));
}

/** The judgements of a trust file in the order of the relations. */
export function judgementsOf({ relations }: FittedCreek, { runs }: TrustFile): readonly Judgement[] {
  const all = runs.flatMap(({ gauges }) => gauges);
  return relations.map(({ run, record }) => all.find((j) => j.run === run.id && j.gauge === record.gauge)!);
}

/**
 * The level chart of a creek: every run against every gauge, by the simplest way of reading that nothing clearly beats, with how far to trust it by weights.
 *
 * @param input a creek as read by `readCreek` or `loadCreekFolder`.
 * @returns a frozen, JSON-ready chart; the same input, options and seed give the same numbers. Gauges come best first (by grade, then skill).
 *   Visits that find no reading of a gauge are counted under `unmatched` in `notUsed`, with the rows the reader refused.
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag.
 * @example const chart = chartCreek(readCreek({ creekJson, visits, gaugeFiles }), { seed: 7 });
 */
export function chartCreek(input: CreekInput, options: ChartOptions = {}): CreekChart {
  if (input.creek === undefined)
    throw new RangeError('chartCreek: creek.json could not be read; see the issues of the input');
  return chartFitted(fitCreek(input, options));
}

/** The chart of a creek that is fitted already: what `chartCreek` does after `fitCreek`. */
export function chartFitted(fitted: FittedCreek): CreekChart {
  return judgeFitted(fitted).chart;
}

/** All fits of their own that a creek's judgement asks for; `plans` in the order of the relations. */
export interface CreekPlan {
  readonly fitted: FittedCreek;
  readonly plans: readonly RelationPlan[];
}

/** Looking for a lasting shift of each relation that some way of reading can be judged of, as tasks. */
export function planShifts({ relations }: FittedCreek, first: readonly Judgement[]): JudgingPlan {
  return {
    kind: 'judging-plan',
    context: { label: 'did it move', relations },
    tasks: relations.flatMap((relation, at) => {
      const { way } = first[at];
      return way === null ? [] : [{ kind: 'shift' as const, id: labelOf(relation), at, way }];
    }),
  };
}

/**
 * Plans the full judgement of a creek that was judged quickly. Gauges that carry no plan by their first grade get their floods left out and no more: what else there is
 * to say of them changes nothing for anybody.
 *
 * @param options.shifts what came of `planShifts`; default: its tasks are done here and now.
 */
export function planCreek(
  fitted: FittedCreek,
  first: readonly Judgement[],
  { shifts = doneHere(planShifts(fitted, first)) }: { readonly shifts?: readonly JudgingResult[] } = {},
): CreekPlan {
  const { creek, input, relations, options } = fitted;
  const found = new Map(shifts.map((result) => [result.at, result.kind === 'shift' ? result.finding : null]));
  return {
    fitted,
    plans: relations.map((relation, at) =>
      planRelation(
        { creek, visits: input.visits, ...relation, shift: found.get(at) ?? null },
        {
          seed: options.seed,
          way: first[at].way ?? 'effective',
          depth: isUsableGrade(first[at].grade) ? 'full' : 'floods',
        },
      ),
    ),
  };
}

/** What the tasks of a plan told of each relation. */
export function knownOf({ plans }: CreekPlan, results: readonly (readonly JudgeResult[])[]): readonly RelationKnown[] {
  return plans.map((plan, i) => ({
    shift: plan.context.relation.shift,
    given: plan.tasks.length === 0 ? undefined : { refits: finishRelation(plan, results[i]), way: plan.context.way },
  }));
}

/** The judgement from the results of all tasks of a plan, here and now. */
export function finishCreek(plan: CreekPlan, results: readonly (readonly JudgeResult[])[]): JudgedCreek {
  return judgeFitted(plan.fitted, { known: knownOf(plan, results) });
}

/**
 * The judgement of every relation as a task.
 *
 * @param options.known one entry a relation, in the order of `fitted.relations`; default nothing known, which makes depth `quick`.
 */
export function planJudgements(
  { creek, relations, options }: FittedCreek,
  { known = [] }: { readonly known?: readonly (RelationKnown | undefined)[] } = {},
): JudgingPlan {
  return {
    kind: 'judging-plan',
    context: { label: 'how far to trust it', relations },
    tasks: relations.map((relation, at) => ({
      kind: 'judge',
      id: labelOf(relation),
      at,
      options: {
        seed: relationSeed(options.seed, relation.aligned),
        timeZone: creek.timeZone,
        sureGood: { effective: sureGoodBy(relation, 'effective'), 'one-reading': sureGoodBy(relation, 'one-reading') },
        ruleReach: options.ruleReach,
      },
      known: known[at],
    })),
  };
}

function sureGoodBy({ fits, aligned }: Relation, way: ReadingWay): Rule | null {
  return sureGood(fits[way].draws.count > 0 ? levelChart(fits[way], aligned) : undefined);
}

/**
 * Judges a creek that is fitted already, here and now.
 *
 * @param options.known as for `planJudgements`.
 */
export function judgeFitted(
  fitted: FittedCreek,
  {
    known = [],
    onProgress,
  }: { known?: readonly (RelationKnown | undefined)[]; onProgress?: ChartOptions['onProgress'] } = {},
): JudgedCreek {
  return gatherJudged(fitted, doneHere(planJudgements(fitted, { known }), onProgress));
}

function doneHere({ context, tasks }: JudgingPlan, onProgress?: ChartOptions['onProgress']): JudgingResult[] {
  return tasks.map((task, done) => {
    onProgress?.({ done, total: tasks.length, label: task.id });
    return runJudgingTask(context, task);
  });
}

/** The judged creek from the judgements of all relations, in their order. */
export function gatherJudged(fitted: FittedCreek, results: readonly JudgingResult[]): JudgedCreek {
  const judgements = results.flatMap((result) => (result.kind === 'judge' ? [result.judgement] : []));
  const chart = creekChart(fitted, judgements);
  const trust: TrustFile = deepFreeze({
    kind: 'creek-trust' as const,
    schema: 1 as const,
    creek: chart.creek,
    runs: chart.runs.map(({ id, name, gauges }) => ({
      id,
      name,
      gauges: gauges.map(({ gauge }) => judgements.find((j) => j.run === id && j.gauge === gauge.id)!),
    })),
    cautions: chart.cautions,
    provenance: chart.provenance,
  });
  return Object.freeze({ kind: 'judged-creek', chart, trust });
}

function labelOf({ run, record }: Relation): string {
  return `${run.name} by ${record.name}`;
}

import { isUsableGrade } from '../judge/grade.js';
import type { Judgement } from '../judge/judgement.js';
import { oneReadingLoses } from '../judge/oneReadingLoses.js';
import { finishRelation } from '../judge/refits/finishRelation.js';
import { planRelation } from '../judge/refits/planRelation.js';
import { runJudgeTasks } from '../judge/refits/runJudgeTasks.js';
import type { JudgeResult, RelationPlan } from '../judge/refits/types.js';
import { trustOfJudgement } from '../judge/trustOfJudgement.js';
import { betterWay } from '../judge/waysOfReading.js';
import type { CreekInput } from '../read/types.js';
import { bestFirst } from './bestFirst.js';
import { chartFitted } from './chartCreek.js';
import { deepFreeze } from './deepFreeze.js';
import { fitCreek, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { runJudgingTask, type JudgingPlan, type JudgingResult, type RelationKnown } from './judgingTasks.js';
import { relationSeed } from './relationSeed.js';
import { sureGood } from './sureGood.js';
import type { CreekChart, GaugeChart, TrustFile } from './types.js';

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
  const chart = chartFitted(fitted);
  if (depth === 'quick') return judgeFitted(fitted, chart);
  const plan = planCreek(fitted, chart);
  return finishCreek(plan, runJudgeTasks(plan.plans));
}

/** All fits of their own that a creek's judgement asks for; `plans` in the order of the relations. */
export interface CreekPlan {
  readonly fitted: FittedCreek;
  readonly chart: CreekChart;
  readonly plans: readonly RelationPlan[];
}

/** Looking for a lasting shift of each relation that some way of reading can be judged of, as tasks. */
export function planShifts(fitted: FittedCreek, chart: CreekChart): JudgingPlan {
  return Object.freeze({
    kind: 'judging-plan' as const,
    context: Object.freeze({ label: 'did it move', relations: fitted.relations }),
    tasks: Object.freeze(
      fitted.relations.flatMap((relation, at) => {
        const way = firstWay(chart, relation);
        return way === null ? [] : [{ kind: 'shift' as const, id: labelOf(relation), at, way }];
      }),
    ),
  });
}

/**
 * Plans the full judgement of a creek that is fitted and charted. Gauges that carry no plan by their first grade get their floods left out and no more: what else there is
 * to say of them changes nothing for anybody.
 *
 * @param options.shifts what came of `planShifts`; default: its tasks are done here and now.
 */
export function planCreek(
  fitted: FittedCreek,
  chart: CreekChart,
  { shifts = doneHere(planShifts(fitted, chart)) }: { readonly shifts?: readonly JudgingResult[] } = {},
): CreekPlan {
  const { creek, input, relations, options } = fitted;
  const found = new Map(shifts.map((result) => [result.at, result.kind === 'shift' ? result.finding : null]));
  return Object.freeze({
    fitted,
    chart,
    plans: Object.freeze(
      relations.map((relation, at) => {
        const trust = gaugeOf(chart, relation)?.trust;
        return planRelation(
          { creek, visits: input.visits, ...relation, shift: found.get(at) ?? null },
          {
            seed: options.seed,
            way: firstWay(chart, relation) ?? 'effective',
            depth: trust !== undefined && isUsableGrade(trust.grade) ? 'full' : 'floods',
          },
        );
      }),
    ),
  });
}

/** The better way of reading by the first chart. */
function firstWay(chart: CreekChart, relation: Relation): ReturnType<typeof betterWay> {
  const trust = gaugeOf(chart, relation)?.trust;
  return betterWay({ effective: trust?.skill.effective, oneReading: trust?.skill.oneReading });
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
  return judgeFitted(plan.fitted, plan.chart, { known: knownOf(plan, results) });
}

/**
 * The judgement of every relation as a task.
 *
 * @param options.known one entry a relation, in the order of `fitted.relations`; default nothing known, which makes depth `quick`.
 */
export function planJudgements(
  { creek, relations, options }: FittedCreek,
  chart: CreekChart,
  { known = [] }: { readonly known?: readonly (RelationKnown | undefined)[] } = {},
): JudgingPlan {
  return Object.freeze({
    kind: 'judging-plan' as const,
    context: Object.freeze({ label: 'how far to trust it', relations }),
    tasks: Object.freeze(
      relations.map((relation, at) => {
        const gauge = gaugeOf(chart, relation);
        return {
          kind: 'judge' as const,
          id: labelOf(relation),
          at,
          options: {
            seed: relationSeed(options.seed, relation.aligned),
            timeZone: creek.timeZone,
            sureGood: { effective: sureGood(gauge?.effective), oneReading: sureGood(gauge?.oneReading) },
            ruleReach: options.ruleReach,
          },
          known: known[at],
        };
      }),
    ),
  });
}

/**
 * Judges a creek that is fitted and charted already, here and now.
 *
 * @param options.known as for `planJudgements`.
 */
export function judgeFitted(
  fitted: FittedCreek,
  chart: CreekChart,
  {
    known = [],
    onProgress,
  }: { known?: readonly (RelationKnown | undefined)[]; onProgress?: ChartOptions['onProgress'] } = {},
): JudgedCreek {
  return gatherJudged(chart, doneHere(planJudgements(fitted, chart, { known }), onProgress));
}

function doneHere({ context, tasks }: JudgingPlan, onProgress?: ChartOptions['onProgress']): JudgingResult[] {
  return tasks.map((task, done) => {
    onProgress?.({ done, total: tasks.length, label: task.id });
    return runJudgingTask(context, task);
  });
}

/** The judged creek from the judgements of all relations. */
export function gatherJudged(chart: CreekChart, results: readonly JudgingResult[]): JudgedCreek {
  const judgements = results.flatMap((result) => (result.kind === 'judge' ? [deepFreeze(result.judgement)] : []));
  const judged = (run: string) =>
    bestFirst(
      judgements
        .filter((judgement) => judgement.run === run)
        .map((judgement) => ({ judgement, trust: trustOfJudgement(judgement) })),
    ).map(({ judgement }) => judgement);
  const trust: TrustFile = Object.freeze({
    kind: 'creek-trust',
    schema: 1,
    creek: chart.creek,
    runs: Object.freeze(
      chart.runs.map(({ id, name }) => Object.freeze({ id, name, gauges: Object.freeze(judged(id)) })),
    ),
    cautions: chart.cautions,
    provenance: chart.provenance,
  });
  return Object.freeze({ kind: 'judged-creek', chart: withTrust(chart, judgements), trust });
}

function labelOf({ run, record }: Relation): string {
  return `${run.name} by ${record.name}`;
}

function gaugeOf(chart: CreekChart, { run, record }: Relation): GaugeChart | undefined {
  return chart.runs.find(({ id }) => id === run.id)?.gauges.find(({ gauge }) => gauge.id === record.gauge);
}

/** The chart with the grades of the judgement, its gauges in that order. */
function withTrust(chart: CreekChart, judgements: readonly Judgement[]): CreekChart {
  return Object.freeze({
    ...chart,
    runs: Object.freeze(
      chart.runs.map((run) =>
        Object.freeze({
          ...run,
          gauges: Object.freeze(
            bestFirst(
              run.gauges.map((gauge): GaugeChart => {
                const judgement = judgements.find((j) => j.run === run.id && j.gauge === gauge.gauge.id);
                if (judgement === undefined) return gauge;
                const trust = trustOfJudgement(judgement);
                return Object.freeze({ ...gauge, trust, oneReadingLoses: oneReadingLoses(trust.skill) });
              }),
            ),
          ),
        }),
      ),
    ),
  });
}

import { isUsableGrade } from '../judge/grade.js';
import { judgeRelation, type WithRefits } from '../judge/judgeRelation.js';
import type { Judgement } from '../judge/judgement.js';
import { oneReadingLoses } from '../judge/oneReadingLoses.js';
import { finishRelation } from '../judge/refits/finishRelation.js';
import { planRelation } from '../judge/refits/planRelation.js';
import { runJudgeTasks } from '../judge/refits/runJudgeTasks.js';
import type { JudgeResult, RelationPlan } from '../judge/refits/types.js';
import { trustOfJudgement } from '../judge/trustOfJudgement.js';
import { shiftOf, type ShiftFinding } from '../judge/shift.js';
import { betterWay } from '../judge/waysOfReading.js';
import type { CreekInput } from '../read/types.js';
import { bestFirst } from './bestFirst.js';
import { chartFitted } from './chartCreek.js';
import { fitCreek, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { outerEdges } from './outerEdges.js';
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

/**
 * Plans the full judgement of a creek that is fitted and charted. Gauges that carry no plan by their first grade get their floods left out and no more: what else there is
 * to say of them changes nothing for anybody.
 */
export function planCreek(fitted: FittedCreek, chart: CreekChart): CreekPlan {
  const { creek, input, relations, options } = fitted;
  return Object.freeze({
    fitted,
    chart,
    plans: Object.freeze(
      relations.map((relation) => {
        const trust = gaugeOf(chart, relation)?.trust;
        const way = betterWay({ effective: trust?.skill.effective, oneReading: trust?.skill.oneReading });
        const fit = way === null ? null : way === 'effective' ? relation.fits.effective : relation.fits.oneReading;
        return planRelation(
          { creek, visits: input.visits, ...relation, shift: fit === null ? null : shiftOf(fit, relation.aligned) },
          {
            seed: options.seed,
            way: way ?? 'effective',
            depth: trust !== undefined && isUsableGrade(trust.grade) ? 'full' : 'floods',
          },
        );
      }),
    ),
  });
}

/** The judgement from the results of all tasks of a plan. */
export function finishCreek(
  { fitted, chart, plans }: CreekPlan,
  results: readonly (readonly JudgeResult[])[],
): JudgedCreek {
  return judgeFitted(fitted, chart, {
    known: plans.map((plan, i) => ({
      shift: plan.context.relation.shift,
      given: plan.tasks.length === 0 ? undefined : { refits: finishRelation(plan, results[i]), way: plan.context.way },
    })),
  });
}

/** What is known of a relation before it is judged. */
export interface RelationKnown {
  readonly shift: ShiftFinding | null;
  readonly given?: WithRefits | undefined;
}

/**
 * Judges a creek that is fitted and charted already.
 *
 * @param options.known one entry a relation, in the order of `fitted.relations`; default nothing known, which makes depth `quick`.
 */
export function judgeFitted(
  fitted: FittedCreek,
  chart: CreekChart,
  {
    known = [],
    onProgress,
  }: { known?: readonly (RelationKnown | undefined)[]; onProgress?: ChartOptions['onProgress'] } = {},
): JudgedCreek {
  const { creek, relations, options } = fitted;
  const judgements = relations.map((relation, i) => {
    onProgress?.({ done: i, total: relations.length, label: labelOf(relation) });
    const gauge = gaugeOf(chart, relation);
    return judgeRelation(
      { ...relation, shift: known[i]?.shift ?? null },
      {
        seed: relationSeed(options.seed, relation.aligned),
        timeZone: creek.timeZone,
        sureGood: { effective: sureGood(gauge?.effective), oneReading: sureGood(gauge?.oneReading) },
        outerEdges: { effective: outerEdges(gauge?.effective), oneReading: outerEdges(gauge?.oneReading) },
        given: known[i]?.given,
      },
    );
  });
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

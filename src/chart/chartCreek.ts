import { isUsableGrade } from '../judge/grade.js';
import { finishRelation } from '../judge/refits/finishRelation.js';
import { planRelation } from '../judge/refits/planRelation.js';
import type { PlanOptions } from '../judge/refits/types.js';
import type { CreekInput } from '../read/types.js';
import { creekChart } from './creekChart.js';
import { deepFreeze } from './deepFreeze.js';
import { fitCreek, judgedBy, type ChartOptions, type FittedCreek, type Relation } from './fitCreek.js';
import { finishGauges } from './gauges/finishGauges.js';
import { planGauges, planRankings } from './gauges/planGauges.js';
import { planProposals, withProposals } from './gauges/proposals.js';
import type { GaugesResult } from './gauges/taskTypes.js';
import type { GaugeRanking } from '../judge/gauges/types.js';
import type { CreekGauges } from './gauges/types.js';
import { runHere, type Progress, type Runner, type RunOptions } from './jobs.js';
import { withShorterLeads } from './shorterLead.js';
import type { CreekChart, TrustFile } from './types.js';

/** A chart, how far to trust it, and which gauge to read; all say the same grade. */
export interface CreekResult {
  readonly kind: 'judged-creek';
  readonly chart: CreekChart;
  readonly trust: TrustFile;
  readonly gauges: CreekGauges;
}

/** Progress of a work in stages, each counted for itself. */
export interface StagedProgress extends Progress {
  readonly stage: 'fit' | 'compare' | 'judge';
}

export interface CreekOptions extends ChartOptions {
  /**
   * `quick`: scores by importance weights, and nothing that needs fits of its own. `full`: gauges that may be recommended are judged by
   * fits of their own too, the others keep their quick score and say so. `thorough`: every gauge, and a fit for every flood. Default
   * 'full'.
   */
  readonly depth?: 'quick' | 'full' | 'thorough';
  /** Where the work is done; default in this process. Changes nothing in the result. */
  readonly runner?: Runner;
  /** Told the answer by weights as soon as it stands; what it recommends may still change. */
  readonly onFirst?: ((first: CreekResult) => void | Promise<void>) | undefined;
  readonly onProgress?: ((progress: StagedProgress) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/**
 * The level chart of a creek: every run against every gauge, by the simplest way of reading that nothing clearly beats, with how far to
 * trust it and which gauge to read.
 *
 * @param input a creek as read by `readCreek` or `loadCreekFolder`.
 * @returns frozen, JSON-ready; the same for the same input, options and seed, whatever the runner. Gauges come best first (by grade, then
 * skill).
 *   Visits that find no reading of a gauge are counted under `unmatched` in `notUsed`, with the rows the reader refused.
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag; for a run or gauge that the creek
 * does not have.
 * @example const { chart } = await chartCreek(readCreek({ creekJson, visits, gaugeFiles }), { seed: 7 });
 */
export async function chartCreek(
  input: CreekInput,
  { depth = 'full', runner = runHere, onFirst, onProgress, signal, ...options }: CreekOptions = {},
): Promise<CreekResult> {
  if (input.creek === undefined)
    throw new RangeError('chartCreek: creek.json could not be read; see the issues of the input');
  const at = (stage: StagedProgress['stage']): RunOptions => ({
    signal,
    onProgress: onProgress && ((progress) => onProgress({ ...progress, stage })),
  });
  const first = await fitCreek(input, { ...options, runner, ...at('fit') });
  const provisional = resultOf(first, [], 'first');
  if (depth !== 'quick') await onFirst?.(provisional);
  const { fitted, compared } = await compareGauges(first, provisional.chart, { depth, runner, at });
  const relations = await judgeFully(fitted, compared, { depth, runner, at });
  const result = resultOf({ ...fitted, relations }, compared, depth);
  const chart = await withShorterLeads(result.chart, { input, ...options, runner, ...at('judge') });
  return { ...result, chart };
}

interface Stages {
  readonly depth: NonNullable<CreekOptions['depth']>;
  readonly runner: Runner;
  readonly at: (stage: StagedProgress['stage']) => RunOptions;
}

/** Ranks the gauges of each run; a weighted mean that wins is fitted as a gauge and ranked again. */
async function compareGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth, runner, at }: Stages,
): Promise<{ readonly fitted: FittedCreek; readonly compared: readonly GaugesResult[] }> {
  const asked = { depth: depth === 'quick' ? depth : ('full' as const) };
  const asks = [planRankings(fitted, asked), planGauges(fitted, recommendedOnly(chart, depth), asked)] as const;
  const compared = (await runner(asks, at('compare'))).flat();
  const proposals = planProposals(fitted, compared);
  if (proposals.tasks.length === 0) return { fitted, compared };
  const [found] = await runner([proposals], at('compare'));
  const whole = withProposals(fitted, proposals, found);
  const runs = proposals.context.pairs.map(({ run }) => run.id);
  const [again] = await runner([planRankings(whole, { depth: 'quick', runs })], at('compare'));
  return { fitted: whole, compared: [...compared, ...again] };
}

/** Whether the lag shortens with the flow is asked of the gauge that is likely to be read; of all where everything is asked. */
function recommendedOnly(chart: CreekChart, depth: Stages['depth']): CreekChart {
  if (depth === 'thorough') return chart;
  const runs = chart.runs.map((run) => ({
    ...run,
    gauges: run.gauges.filter(({ gauge }) => gauge.id === run.recommended),
  }));
  return { ...chart, runs };
}

/** Judges the relations that may be recommended further; the others keep their first judgement. */
async function judgeFully(
  fitted: FittedCreek,
  compared: readonly GaugesResult[],
  { depth, runner, at }: Stages,
): Promise<readonly Relation[]> {
  const { creek, input, relations, options } = fitted;
  const { seed } = options;
  const rankings = rankingsOf(compared);
  const { runs } = creekChart(fitted, { rankings });
  const told = new Map(runs.map(({ id, recommended, gauges }) => [id, recommended ?? gauges[0]?.gauge.id]));
  const plans = relations.flatMap((relation) => {
    const { run, record } = relation;
    const ranking = rankings.findLast((one) => one.run === run.id);
    const how = depthOf(relation, { depth, ranking, told: told.get(run.id) === record.gauge });
    const of = { creek, visits: input.visits, ...relation };
    return how === null ? [] : [{ relation, plan: planRelation(of, { seed, depth: how, first: relation.first }) }];
  });
  const results = await runner(
    plans.map(({ plan }) => plan),
    at('judge'),
  );
  return relations.map((relation) => {
    const i = plans.findIndex((one) => one.relation === relation);
    if (i < 0 || plans[i].plan.tasks.length === 0) return relation;
    const refits = finishRelation(plans[i].plan, results[i]);
    return { ...relation, judgement: judgedBy(relation, { ...options, creek, quick: relation.judgement, refits }) };
  });
}

/** A gauge whose odds of beating the first in rank on floods drawn anew are lower is not judged further. */
const MAY_BE_BEST = 0.1;

/**
 * How deeply a relation is judged: the gauge that is told first with its edges, one that may be as good by its floods; null: its first
 * judgement stands.
 * @param of.told whether it is the first that the run's answer tells of.
 */
function depthOf(
  { record, judgement }: Relation,
  { depth, ranking, told }: { depth: Stages['depth']; ranking: GaugeRanking | undefined; told: boolean },
): NonNullable<PlanOptions['depth']> | null {
  const usable = isUsableGrade(judgement.grade);
  if (depth === 'thorough') return usable ? 'thorough' : 'floods';
  if (told) return usable && depth === 'full' ? 'edges' : 'visits';
  if (!usable || depth === 'quick') return null;
  const row = ranking?.warning.find(({ id }) => id === record.gauge);
  return row === undefined || (row.beatsFirst ?? 1) >= MAY_BE_BEST ? 'doubtful-floods' : null;
}

function rankingsOf(compared: readonly GaugesResult[]): readonly GaugeRanking[] {
  return compared.flatMap((one) => (one.kind === 'rank' ? [one.ranking] : []));
}

function resultOf(fitted: FittedCreek, compared: readonly GaugesResult[], depth: TrustFile['depth']): CreekResult {
  const chart = creekChart(fitted, { rankings: rankingsOf(compared) });
  const { creek, cautions, provenance } = chart;
  const judgementOf = (run: string, gauge: string) =>
    fitted.relations.find((r) => r.run.id === run && r.record.gauge === gauge)!.judgement;
  const trust: TrustFile = {
    kind: 'creek-trust',
    schema: 1,
    creek,
    depth,
    runs: chart.runs.map(({ id, name, gauges }) => ({
      id,
      name,
      gauges: gauges.map(({ gauge }) => judgementOf(id, gauge.id)),
    })),
    cautions,
    provenance,
  };
  return deepFreeze({ kind: 'judged-creek' as const, chart, trust, gauges: finishGauges(fitted, chart, compared) });
}

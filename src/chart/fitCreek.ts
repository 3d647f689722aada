import { refuseUnknown } from '../series/knownIds.js';
import { alignVisits, lagGrid, storageGrid, DEFAULT_LAG_HOURS } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import { fitLevels, type LevelFits } from '../fit/fitLevels.js';
import type { LoggerFit } from '../fit/logger/types.js';
import type { Link } from '../fit/types.js';
import { firstScores, type FirstScores } from '../judge/firstScores.js';
import { judgeRelation, type Known } from '../judge/judgeRelation.js';
import type { RuleReach } from '../judge/judgedRules.js';
import type { Judgement } from '../judge/judgement.js';
import { splitSeed } from '../kernel/random.js';
import type { CreekInput } from '../read/types.js';
import type { Creek, Run } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { fitLoggers, type FittedLoggers } from './fitLoggers.js';
import { runHere, type Runner, type RunOptions } from './jobs.js';
import { levelChart } from './levelChart.js';
import { sureGood } from './sureGood.js';

export interface ChartOptions {
  /** Hours before paddling at which the decision is made; default 0. */
  readonly leadHours?: number;
  /** Whole number; default 1. */
  readonly seed?: number;
  /** Default 'probit'. */
  readonly link?: Link;
  /** Draws of each fit; default 1000. */
  readonly draws?: number;
  /** Bounds of the lag searched, hours; default the creek's, else -24 to 48. */
  readonly lagHours?: { readonly min: number; readonly max: number };
  /** Bounds of the storage searched, hours; default the creek's, else -24 to 48. */
  readonly storageHours?: { readonly min: number; readonly max: number };
  /** Ids; default all. */
  readonly runs?: readonly string[];
  readonly gauges?: readonly string[];
  /** Let the temporary loggers of a run say which lags and storages are likely; default true. */
  readonly useLoggers?: boolean;
  /** How far a range to go by may reach: within the good range as printed (default), or up to the outermost edges. */
  readonly ruleReach?: RuleReach;
}

/** One run against one gauge: everything that was fitted, for people who want to go on from there. */
export interface Relation {
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly aligned: Aligned;
  readonly fits: LevelFits;
  /**
   * The run's temporary loggers explained by this gauge, in the order of creek.json; none where they were not to be used. Lags are those
   * where the logger stood.
   */
  readonly loggers: readonly LoggerFit[];
  /**
   * What they say of lag and storage, which `fits` was made with: ln prior over the grid of `aligned`, lags at the put-in. Absent without
   * any.
   */
  readonly gridPrior?: Float64Array;
  /** Scores by weights, and the judgement by them: the first answer. */
  readonly first: FirstScores;
  readonly judgement: Judgement;
}

/** A creek with every run fitted to every gauge: what its chart and its judgement are both made from. */
export interface FittedCreek {
  readonly kind: 'fitted-creek';
  readonly creek: Creek;
  readonly input: CreekInput;
  readonly runs: readonly Run[];
  readonly records: readonly GaugeRecord[];
  /** Runs in the order of creek.json, for each its gauges in that order. */
  readonly relations: readonly Relation[];
  readonly options: {
    readonly leadHours: number;
    readonly seed: number;
    readonly link: Link;
    readonly draws: number;
    readonly lagsHours: readonly number[];
    readonly storagesHours: readonly number[];
    readonly useLoggers: boolean;
    readonly ruleReach: RuleReach;
  };
}

/** All fits of a creek, as plain data that can go to other cores. */
export interface FitsPlan {
  readonly kind: 'fits-plan';
  readonly context: FitsContext;
  readonly tasks: readonly FitTask[];
}

export interface FitsContext {
  /** In words, for progress and errors. */
  readonly label: string;
  readonly creek: Creek;
  readonly pairs: readonly Pick<Relation, 'run' | 'record'>[];
  readonly visits: CreekInput['visits'];
  readonly loggers: readonly GaugeRecord[];
  readonly options: FittedCreek['options'];
}

/** One pair of the context; `id` names it. */
export interface FitTask {
  readonly id: string;
  readonly at: number;
}

/** What was fitted to a pair. */
export type FittedPair = Omit<Relation, 'run' | 'record'>;

/**
 * Fits every run of a creek to every gauge, and judges each by weights.
 *
 * @param options.runner where the fits are made; default in this process.
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag; for a run or gauge that the creek
 * does not have.
 * @example const fitted = await fitCreek(input, { seed: 7 });
 */
export async function fitCreek(
  input: CreekInput,
  { runner = runHere, onProgress, signal, ...options }: ChartOptions & RunOptions & { readonly runner?: Runner } = {},
): Promise<FittedCreek> {
  const { runs, records, plan } = planFits(input, options);
  const { creek, pairs, options: own } = plan.context;
  const [found] = await runner([plan], { onProgress, signal });
  const relations = pairs.map((pair, i) => ({ ...pair, ...found[i] }));
  return { kind: 'fitted-creek', creek, input, runs, records, relations, options: own };
}

/** What `fitCreek` has to do, pair by pair: runs in the order of creek.json, for each its gauges in that order. */
export function planFits(
  input: CreekInput,
  options: ChartOptions = {},
): Pick<FittedCreek, 'runs' | 'records'> & { readonly plan: FitsPlan } {
  const { creek } = input;
  if (creek === undefined) throw new RangeError('fitCreek: creek.json could not be read; see the issues of the input');
  const { leadHours = 0, seed = 1, link = 'probit', draws = 1000, useLoggers = true, ruleReach = 'good' } = options;
  const { runs, records } = wanted(creek, input, options);
  const pairs = runs.flatMap((run) => records.map((record) => ({ run, record })));
  const context = {
    label: 'fitting',
    creek,
    pairs,
    visits: input.visits,
    loggers: useLoggers ? (input.loggers ?? []) : [],
    options: {
      leadHours,
      seed,
      link,
      draws,
      lagsHours: lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS),
      storagesHours: storageGrid(options.storageHours ?? creek.storageHours),
      useLoggers,
      ruleReach,
    },
  };
  const tasks = pairs.map(({ run, record }, at) => ({ id: `${run.name} by ${record.name}`, at }));
  return { runs, records, plan: { kind: 'fits-plan', context, tasks } };
}

/** Fits and scores one pair of a plan. Pure: the same context and task give the same fits on any core. */
export function fitPair({ creek, pairs, visits, loggers, options }: FitsContext, { at }: FitTask): FittedPair {
  const { run, record } = pairs[at];
  const { leadHours, link, seed, draws, lagsHours, storagesHours, ruleReach } = options;
  const grid = { lagsHours, storagesHours };
  const aligned = alignVisits({ creek, run, record, visits }, grid);
  const { fits: logged, gridPrior }: FittedLoggers = fitLoggers({ creek, run, record, loggers }, grid);
  const prior = gridPrior === undefined ? {} : { gridPrior };
  const fits = fitLevels(aligned, { leadHours, link, seed, draws, ...prior });
  const known = { run, record, aligned, fits };
  const first = firstScores(known, { seed: trustSeed(seed, aligned) });
  const judgement = judgedBy({ ...known, first }, { seed, creek, ruleReach });
  return { aligned, fits, loggers: logged, ...prior, first, judgement };
}

/** The judgement of a relation by what is known of it: by weights alone, or with refits. */
export function judgedBy(
  relation: Omit<Relation, 'loggers' | 'judgement'>,
  {
    seed,
    creek,
    ruleReach,
    ...known
  }: { seed: number; creek: Creek; ruleReach: RuleReach } & Pick<Known, 'quick' | 'refits'>,
): Judgement {
  const { aligned, fits, first } = relation;
  const { chosen } = first;
  return judgeRelation(relation, {
    seed: trustSeed(seed, aligned),
    timeZone: creek.timeZone,
    sureGood: chosen === null ? {} : { [chosen]: sureGood(levelChart(fits[chosen], aligned)) },
    ruleReach,
    first,
    visits: false,
    ...known,
  });
}

/** Seed of all resampling in judging one run against one gauge. */
function trustSeed(seed: number, { run, gauge }: Pick<Aligned, 'run' | 'gauge'>): number {
  return splitSeed(seed, `${run}/${gauge}/trust`);
}

function wanted(
  creek: Creek,
  input: CreekInput,
  options: Pick<ChartOptions, 'runs' | 'gauges'>,
): { runs: readonly Run[]; records: readonly GaugeRecord[] } {
  refuseUnknown(options, creek);
  return {
    runs: creek.runs.filter((r) => options.runs?.includes(r.id) ?? true),
    records: input.records.filter((r) => options.gauges?.includes(r.gauge) ?? true),
  };
}

import { refuseUnknown } from '../series/knownIds.js';
import { alignVisits, lagGrid, storageGrid, DEFAULT_LAG_HOURS } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import { fitLevels, type LevelFits } from '../fit/fitLevels.js';
import type { LoggerFit } from '../fit/logger/types.js';
import type { Link } from '../fit/types.js';
import type { RuleReach } from '../judge/judgedRules.js';
import type { CreekInput } from '../read/types.js';
import type { Creek, Run } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';
import { fitLoggers, type FittedLoggers } from './fitLoggers.js';

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
  readonly onProgress?: (progress: Progress) => void;
}

export interface Progress {
  readonly done: number;
  readonly total: number;
  readonly label: string;
}

/** One run against one gauge: everything that was fitted, for people who want to go on from there. */
export interface Relation {
  readonly run: Run;
  readonly record: GaugeRecord;
  readonly aligned: Aligned;
  readonly fits: LevelFits;
  /** The run's temporary loggers explained by this gauge, in the order of creek.json; none where they were not to be used. Lags are those where the logger stood. */
  readonly loggers: readonly LoggerFit[];
  /** What they say of lag and storage, which `fits` was made with: ln prior over the grid of `aligned`, lags at the put-in. Absent without any. */
  readonly gridPrior?: Float64Array;
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
 * Fits every run of a creek to every gauge: the long part of `chartCreek`, done once where chart and judgement are both wanted.
 *
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag.
 * @example const fitted = fitCreek(input, { seed: 7 });
 */
export function fitCreek(input: CreekInput, { onProgress, ...options }: ChartOptions = {}): FittedCreek {
  const plan = planFits(input, options);
  const total = plan.tasks.length;
  const fitted = plan.tasks.map((task, i) =>
    fitPair(plan.context, task, (share) => onProgress?.({ done: i + share, total, label: task.id })),
  );
  return gatherFits(input, plan, { fitted, options });
}

/** What `fitCreek` has to do, pair by pair: runs in the order of creek.json, for each its gauges in that order. */
export function planFits(input: CreekInput, options: ChartOptions = {}): FitsPlan {
  const { creek } = input;
  if (creek === undefined) throw new RangeError('fitCreek: creek.json could not be read; see the issues of the input');
  const { leadHours = 0, seed = 1, link = 'probit', draws = 1000, useLoggers = true, ruleReach = 'good' } = options;
  const { runs, records } = wanted(creek, input, options);
  const pairs = runs.flatMap((run) => records.map((record) => ({ run, record })));
  return Object.freeze({
    kind: 'fits-plan' as const,
    context: Object.freeze({
      label: 'fitting',
      creek,
      pairs: Object.freeze(pairs),
      visits: input.visits,
      loggers: useLoggers ? (input.loggers ?? []) : [],
      options: Object.freeze({
        leadHours,
        seed,
        link,
        draws,
        lagsHours: lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS),
        storagesHours: storageGrid(options.storageHours ?? creek.storageHours),
        useLoggers,
        ruleReach,
      }),
    }),
    tasks: Object.freeze(pairs.map(({ run, record }, at) => ({ id: `${run.name} by ${record.name}`, at }))),
  });
}

/** Fits one pair of a plan. Pure: the same context and task give the same fits on any core. `report` is told the share done. */
export function fitPair(
  { creek, pairs, visits, loggers, options }: FitsContext,
  { at }: FitTask,
  report: (share: number) => void = () => undefined,
): FittedPair {
  const { run, record } = pairs[at];
  const { leadHours, link, seed, draws, lagsHours, storagesHours } = options;
  const grid = { lagsHours, storagesHours };
  report(0);
  const aligned = alignVisits({ creek, run, record, visits }, grid);
  const { fits: logged, gridPrior }: FittedLoggers = fitLoggers({ creek, run, record, loggers }, grid);
  const prior = gridPrior === undefined ? {} : { gridPrior };
  const onProgress = ({ done, total }: { done: number; total: number }): void => report((0.9 * done) / total);
  const fits = fitLevels(aligned, { leadHours, link, seed, draws, ...prior, onProgress });
  report(1);
  return Object.freeze({ aligned, fits, loggers: logged, ...prior });
}

/** The creek from the fits of all pairs, in the order of the plan's tasks. */
export function gatherFits(
  input: CreekInput,
  { context: { creek, pairs, options } }: FitsPlan,
  { fitted, options: asked = {} }: { readonly fitted: readonly FittedPair[]; readonly options?: ChartOptions },
): FittedCreek {
  const { runs, records } = wanted(creek, input, asked);
  return Object.freeze({
    kind: 'fitted-creek',
    creek,
    input,
    runs: Object.freeze(runs),
    records: Object.freeze(records),
    relations: Object.freeze(pairs.map((pair, i) => Object.freeze({ ...pair, ...fitted[i] }))),
    options,
  });
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

import { alignVisits, lagGrid, storageGrid, DEFAULT_LAG_HOURS } from '../align/alignVisits.js';
import type { Aligned } from '../align/types.js';
import { fitLevels, type LevelFits } from '../fit/fitLevels.js';
import type { LoggerFit } from '../fit/logger/types.js';
import type { Link } from '../fit/types.js';
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
  };
}

/**
 * Fits every run of a creek to every gauge: the long part of `chartCreek`, done once where chart and judgement are both wanted.
 *
 * @throws RangeError when the input holds no usable creek.json, or the lead is longer than every lag.
 * @example const fitted = fitCreek(input, { seed: 7 });
 */
export function fitCreek(input: CreekInput, options: ChartOptions = {}): FittedCreek {
  const { creek } = input;
  if (creek === undefined) throw new RangeError('fitCreek: creek.json could not be read; see the issues of the input');
  const { leadHours = 0, seed = 1, link = 'probit', draws = 1000, useLoggers = true, onProgress } = options;
  const runs = creek.runs.filter((r) => options.runs?.includes(r.id) ?? true);
  const records = input.records.filter((r) => options.gauges?.includes(r.gauge) ?? true);
  const grid = {
    lagsHours: lagGrid(options.lagHours ?? creek.lagHours ?? DEFAULT_LAG_HOURS),
    storagesHours: storageGrid(options.storageHours ?? creek.storageHours),
  };
  const loggers = useLoggers ? (input.loggers ?? []) : [];
  const pairs = runs.flatMap((run) => records.map((record) => ({ run, record })));
  const relations = pairs.map(({ run, record }, i): Relation => {
    const label = `${run.name} by ${record.name}`;
    const report = (share: number): void => onProgress?.({ done: i + share, total: pairs.length, label });
    report(0);
    const aligned = alignVisits({ creek, run, record, visits: input.visits }, grid);
    const { fits: logged, gridPrior }: FittedLoggers = fitLoggers({ creek, run, record, loggers }, grid);
    const prior = gridPrior === undefined ? {} : { gridPrior };
    const fits = fitLevels(aligned, {
      leadHours,
      link,
      seed,
      draws,
      ...prior,
      onProgress: ({ done, total }) => report((0.9 * done) / total),
    });
    report(1);
    return Object.freeze({ run, record, aligned, fits, loggers: logged, ...prior });
  });
  return Object.freeze({
    kind: 'fitted-creek',
    creek,
    input,
    runs: Object.freeze(runs),
    records: Object.freeze(records),
    relations: Object.freeze(relations),
    options: Object.freeze({ leadHours, seed, link, draws, ...grid, useLoggers }),
  });
}

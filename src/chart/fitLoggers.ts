import { waveHours } from '../align/waveHours.js';
import { fitLogger } from '../fit/logger/fitLogger.js';
import { loggerDoubt } from '../fit/logger/loggerDoubt.js';
import { loggerPrior } from '../fit/logger/loggerPrior.js';
import type { LoggerFit } from '../fit/logger/types.js';
import type { Creek, Run } from '../series/creek.js';
import type { GaugeRecord } from '../series/gaugeRecord.js';

const HOUR = 3_600_000;

/** Rows a logger is thinned to at most: three months of hours. More tell the lag no better and take time. */
const MOST_ROWS = 2200;

/** The loggers of a run beside one gauge, and what they say together of lag and storage. */
export interface FittedLoggers {
  readonly fits: readonly LoggerFit[];
  /** ln prior of each grid point, storage-major; absent where no logger has a fit. */
  readonly gridPrior?: Float64Array;
}

/**
 * Fits every logger that stood at a run to one gauge, on the grid of the visits moved to where the logger stood: the visits' lag is told at
 * the put-in, and the water needs `waveHours` from there. Several loggers are taken as independent: their priors multiply.
 *
 * @param options.lagsHours, options.storagesHours the grid of the visits.
 * @returns one fit a logger, in the order of creek.json; none without loggers. A fit that did not converge, or whose levels contradict its
 * fast changes, gives no prior.
 */
export function fitLoggers(
  {
    creek,
    run,
    record,
    loggers,
  }: {
    readonly creek: Creek;
    readonly run: Run;
    readonly record: GaugeRecord;
    readonly loggers: readonly GaugeRecord[];
  },
  { lagsHours, storagesHours }: { readonly lagsHours: readonly number[]; readonly storagesHours: readonly number[] },
): FittedLoggers {
  const fits: LoggerFit[] = [];
  let sum: Float64Array | undefined;
  for (const { id, run: at, kmFromPutIn = 0 } of creek.loggers ?? []) {
    const series = loggers.find(({ gauge }) => gauge === id);
    if (at !== run.id || series === undefined) continue;
    const shiftHours = waveHours(creek, kmFromPutIn);
    const fit = fitLogger(series, record, {
      lagsHours: lagsHours.map((lag) => lag + shiftHours),
      storagesHours,
      stepHours: stepHoursOf(series, record),
    });
    fits.push(fit);
    if (fit.status !== 'converged' || loggerDoubt(fit) !== null) continue;
    const prior = loggerPrior(fit, { lagsHours, storagesHours, shiftHours });
    sum = sum === undefined ? prior : sum.map((l, g) => l + prior[g]);
  }
  return Object.freeze({ fits: Object.freeze(fits), ...(sum !== undefined && { gridPrior: normalised(sum) }) });
}

/** An hour, or the coarser record's step, or what keeps a long logger to `MOST_ROWS`. */
function stepHoursOf(logger: GaugeRecord, gauge: GaugeRecord): number {
  const { timesMs } = logger;
  const span = timesMs.length > 0 ? (timesMs[timesMs.length - 1] - timesMs[0]) / HOUR : 0;
  return Math.max(1, (logger.stepMs || 0) / HOUR, (gauge.stepMs || 0) / HOUR, Math.ceil(span / MOST_ROWS));
}

/** ln shares that sum to 1. */
function normalised(lnShares: Float64Array): Float64Array {
  const top = lnShares.reduce((a, b) => Math.max(a, b));
  const lnSum = top + Math.log(lnShares.reduce((sum, l) => sum + Math.exp(l - top), 0));
  return lnShares.map((l) => l - lnSum);
}

import { DEFAULT_LAG_HOURS, lagGrid, storageGrid } from '../../align/alignVisits.js';
import { floodOfVisits } from '../../align/floods.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { blockFactorOf } from './blockFactor.js';
import { curveAt, levelAt, ratingOf, type CurveSetting } from './curveFit.js';
import { gridEstimate } from '../../kernel/estimate.js';
import { loggerRows, type LoggerRows } from './loggerRows.js';
import { loggerSentence } from './loggerSentence.js';
import type { LoggerFit, LoggerRating } from './types.js';

const HOUR = 3_600_000;

export interface LoggerOptions {
  /** Hours, ascending; default -24 to 48 in steps of half an hour. */
  readonly lagsHours?: readonly number[];
  /** Hours, ascending; default as in `alignVisits`. */
  readonly storagesHours?: readonly number[];
  /** Hours between rows; default 1, or the coarser record's step. */
  readonly stepHours?: number;
}

/** Two days: less shows no flood. */
const FEWEST_ROWS = 48;

/** Bends tried for the rating: exponents of 5 down to 1; 0 is the line. */
const BENDS = [0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1];

/** Memories tried for the errors, one step apart. */
const MEMORIES = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.97, 0.98, 0.99, 0.995];

/** Rounds of likeliest point, then memory and bend there. */
const ROUNDS = 4;

/** Points below this share of the posterior are left out of predictions. */
const LEAST_SHARE = 1e-3;

/**
 * Lag and storage between a gauge and a temporary logger at the creek: the gauge is routed (`reservoirSeries`) and shifted, a rating turns
 * it into levels, and each lag and storage of a grid gets its likelihood.
 *
 *   level(t) = rating(x(t)) + u(t),   x = ln e_k(t - L),   u_t = φ·u_{t-1} + ε_t
 *
 * The rating is a power law with offset or a line in x, whichever BIC takes. The memory φ is estimated with the rest: an hourly series of
 * five weeks holds some ten floods and not 840 readings of its own. Whole days err together more than that says; the log-likelihood is
 * multiplied by a factor of at most 1 so that its curvature matches how much two-day blocks disagree about the lag (see `blockFactorOf`).
 * The prior over the grid is flat.
 *
 * @param logger levels at the creek, read like a gauge record. @param gauge the official record over the same weeks, and some time before.
 * @returns frozen. Fewer than 48 shared rows, or a series that never moves: the status says so, numbers are NaN, probabilities 0.
 * @throws RangeError for an empty grid or a step that is not above 0.
 * @example fitLogger(logger, gauge).lag.median // 3
 */
export function fitLogger(logger: GaugeRecord, gauge: GaugeRecord, options: LoggerOptions = {}): LoggerFit {
  const lags = Float64Array.from(options.lagsHours ?? lagGrid(DEFAULT_LAG_HOURS));
  const storages = Float64Array.from(options.storagesHours ?? storageGrid());
  const { stepHours = Math.max(1, (logger.stepMs || 0) / HOUR, (gauge.stepMs || 0) / HOUR) } = options;
  if (lags.length === 0 || storages.length === 0)
    throw new RangeError('fitLogger: the grid of lags and storages is empty');
  if (!(stepHours > 0)) throw new RangeError(`fitLogger: stepHours must be above 0, got ${stepHours}`);
  const rows = loggerRows(logger, gauge, { lags, storages, stepMs: stepHours * HOUR });
  const n = rows.level.length;
  const G = lags.length * storages.length;
  const status: LoggerFit['status'] =
    n < FEWEST_ROWS
      ? 'too-few-rows'
      : stands(rows.level)
        ? 'constant-logger'
        : stands(rows.x)
          ? 'constant-gauge'
          : 'converged';
  const common = {
    kind: 'logger-fit' as const,
    status,
    logger: logger.gauge,
    gauge: gauge.gauge,
    gaugeName: gauge.name,
    unit: logger.unit,
    fromMs: n > 0 ? rows.timesMs[0] : NaN,
    toMs: n > 0 ? rows.timesMs[n - 1] : NaN,
    stepHours,
    rows: n,
    floods: n > 0 ? floodOfVisits(gauge, rows.timesMs)[n - 1] + 1 : 0,
  };
  if (status !== 'converged')
    return Object.freeze({ ...common, ...nothing(lags, storages), statusSentence: loggerSentence(common) });

  const { setting, best } = settle(rows, G);
  const logLikelihood = new Float64Array(G);
  for (let g = 0; g < G; g++) logLikelihood[g] = curveAt(rows.x.subarray(g * n, (g + 1) * n), setting).logLikelihood;
  const blockFactor = blockFactorOf(rows, { lags, logLikelihood, setting });
  const probability = shares(logLikelihood, blockFactor);
  const xOf = (g: number): Float64Array => rows.x.subarray(g * n, (g + 1) * n);
  const x = xOf(best);
  const rating = curveOf(rows, x, setting);
  const squares = rows.level.reduce((sum, h, i) => sum + (h - levelAt(rating, x[i])) ** 2, 0);
  const total = spread(rows.level);
  const levels: CurveSetting = { ...setting, memory: 0 };
  let bestExplained = 0;
  for (let g = 0; g < G; g++) bestExplained = Math.max(bestExplained, 1 - curveAt(xOf(g), levels).rss / total);
  const curves = Array.from(probability, (share, g) => ({ share, g }))
    .filter(({ share }) => share >= LEAST_SHARE)
    .map(({ share, g }) => Object.freeze({ g, share, rating: curveOf(rows, xOf(g), setting) }));
  const body = {
    lag: gridEstimate(probability, { of: (g) => lags[g % lags.length] }),
    storage: gridEstimate(probability, { of: (g) => storages[Math.floor(g / lags.length)] }),
    grid: Object.freeze({ lagsHours: lags, storagesHours: storages, logLikelihood, probability }),
    rating,
    curves: Object.freeze(curves),
    residualSd: Math.sqrt(squares / (n - 3)),
    explained: 1 - squares / total,
    bestExplained,
    memory: setting.memory,
    effectiveRows: (n * (1 - setting.memory)) / (1 + setting.memory),
    blockFactor,
    seen: Object.freeze({ from: x.reduce((a, b) => Math.min(a, b)), to: x.reduce((a, b) => Math.max(a, b)) }),
  };
  return Object.freeze({ ...common, ...body, statusSentence: loggerSentence({ ...common, ...body }) });
}

/** Likeliest point, memory and bend by turns; the line stays unless a bend is worth half a ln n. */
function settle(rows: LoggerRows, G: number): { setting: CurveSetting; best: number } {
  const { level, follows } = rows;
  const n = level.length;
  let best = 0;
  let setting: CurveSetting = { level, follows, memory: 0.9, bend: 0, centre: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    const at = (g: number, with_: CurveSetting): number =>
      curveAt(rows.x.subarray(g * n, (g + 1) * n), with_).logLikelihood;
    let top = -Infinity;
    let next = best;
    for (let g = 0; g < G; g++) {
      const l = at(g, setting);
      if (l > top) {
        top = l;
        next = g;
      }
    }
    if (round > 0 && next === best) break;
    best = next;
    const x = rows.x.subarray(best * n, (best + 1) * n);
    const centre = x.reduce((a, b) => a + b, 0) / n;
    let height = -Infinity;
    const held = setting;
    for (const memory of MEMORIES)
      for (const bend of BENDS) {
        const tried = { ...held, memory, bend, centre };
        const l = at(best, tried) - (bend === 0 ? 0 : 0.5 * Math.log(n));
        if (l > height) {
          height = l;
          setting = tried;
        }
      }
  }
  return { setting, best };
}

/** Never moved, but for rounding. */
function stands(values: Float64Array): boolean {
  const low = values.reduce((a, b) => Math.min(a, b));
  const high = values.reduce((a, b) => Math.max(a, b));
  return high - low <= 1e-9 * Math.max(Math.abs(low), Math.abs(high));
}

/** Σ(v - mean)². */
function spread(values: Float64Array): number {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
}

/**
 * The curve of a grid point, with its height set so that the levels lie around it: under long memory least squares look at changes and
 * leave the height nearly open, and a transfer to other years needs it.
 */
function curveOf({ level }: LoggerRows, x: Float64Array, setting: CurveSetting): LoggerRating {
  const own = curveAt(x, setting);
  const rating = ratingOf(own, setting);
  const off = level.reduce((sum, h, i) => sum + h - levelAt(rating, x[i]), 0) / level.length;
  return ratingOf({ ...own, middle: own.middle + off }, setting);
}

function shares(logLikelihood: Float64Array, factor: number): Float64Array {
  const top = logLikelihood.reduce((a, b) => Math.max(a, b));
  const raw = logLikelihood.map((l) => Math.exp(factor * (l - top)));
  const sum = raw.reduce((a, b) => a + b, 0);
  return raw.map((p) => p / sum);
}

/** A fit that says why there is none. */
function nothing(
  lagsHours: Float64Array,
  storagesHours: Float64Array,
): Pick<
  LoggerFit,
  | 'lag'
  | 'storage'
  | 'grid'
  | 'rating'
  | 'curves'
  | 'residualSd'
  | 'explained'
  | 'bestExplained'
  | 'memory'
  | 'effectiveRows'
  | 'blockFactor'
  | 'seen'
> {
  const probability = new Float64Array(lagsHours.length * storagesHours.length);
  const none = gridEstimate(probability, { of: () => NaN });
  return {
    lag: none,
    storage: none,
    grid: Object.freeze({ lagsHours, storagesHours, logLikelihood: probability.map(() => NaN), probability }),
    rating: ratingOf(
      { middle: NaN, rise: NaN, rss: NaN, logLikelihood: NaN },
      { level: probability, follows: new Uint8Array(0), memory: NaN, bend: 0, centre: NaN },
    ),
    curves: Object.freeze([]),
    residualSd: NaN,
    explained: NaN,
    bestExplained: NaN,
    memory: NaN,
    effectiveRows: 0,
    blockFactor: NaN,
    seen: Object.freeze({ from: NaN, to: NaN }),
  };
}

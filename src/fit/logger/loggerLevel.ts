import { reservoirSeries } from '../../align/reservoirSeries.js';
import { lnAt, type Cursor } from '../../align/interpolate.js';
import { knownTimes } from '../../align/knownTimes.js';
import { studentCritical } from '../../kernel/studentT.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { levelAt } from './curveFit.js';
import type { LoggerFit } from './types.js';

const HOUR = 3_600_000;

/** A level the logger would have shown. */
export interface LoggerPrediction {
  readonly timeMs: number;
  /** In the logger's unit; NaN where the official record has no reading. */
  readonly level: number;
  /** Where the logger's level lies with the probability asked for. */
  readonly lower: number;
  readonly upper: number;
  /** Where the gauge's reading lies against those while the logger was out. */
  readonly extent: 'inside' | 'below' | 'above' | 'unknown';
}

/**
 * The logger's level at any time of the long official record: what it would have shown had it stayed.
 *
 * Averaged over the lags and storages that the fit holds likely; the interval adds their disagreement, the residuals' spread, and the
 * height of the curve known from `effectiveRows` only: level ± t·√(between + s²·(1 + 1/n')), t of n' - 3 degrees of freedom (at least 3).
 * It assumes that the bed stayed and that other seasons err as those weeks did.
 *
 * @param fit with status `converged`. @param options.gauge the record, as long as there is.
 * @param options.timesMs where, UTC ms. @param options.level probability of
 *   the interval, default 0.8.
 * @returns one row a time; NaN and `unknown` without a reading; `above` and `below` are extrapolation.
 * @throws RangeError for a fit without curves.
 * @example loggerLevel(fit, { gauge, timesMs: [visit.timeMs] })[0].level
 */
export function loggerLevel(
  fit: LoggerFit,
  { gauge, timesMs, level = 0.8 }: { gauge: GaugeRecord; timesMs: ArrayLike<number>; level?: number },
): readonly LoggerPrediction[] {
  if (fit.curves.length === 0) throw new RangeError(`loggerLevel: the fit has no curve (status ${fit.status})`);
  const { lagsHours, storagesHours } = fit.grid;
  const nL = lagsHours.length;
  const lnE = new Map<number, Float64Array>();
  for (const { g } of fit.curves) {
    const k = Math.floor(g / nL);
    if (!lnE.has(k)) lnE.set(k, reservoirSeries(gauge, storagesHours[k]).map(Math.log));
  }
  const rows = fit.effectiveRows;
  const noise = fit.residualSd ** 2 * (1 + 1 / Math.max(1, rows));
  const t = studentCritical(level, { df: Math.max(3, rows - 3) });
  const cursor: Cursor = { index: 0 };
  const known = knownTimes(gauge);
  const { interpolation } = known;
  return Object.freeze(
    Array.from(timesMs, (timeMs): LoggerPrediction => {
      let weight = 0;
      let mean = 0;
      let squares = 0;
      let meanX = 0;
      for (const { g, share, rating } of fit.curves) {
        const x = lnAt(known.timesMs, lnE.get(Math.floor(g / nL))!, timeMs - lagsHours[g % nL] * HOUR, {
          maxGapMs: gauge.maxGapMs,
          cursor,
          interpolation,
        });
        if (!Number.isFinite(x)) continue;
        const h = levelAt(rating, x);
        weight += share;
        mean += share * h;
        squares += share * h * h;
        meanX += share * x;
      }
      if (!(weight > 0)) return Object.freeze({ timeMs, level: NaN, lower: NaN, upper: NaN, extent: 'unknown' });
      const middle = mean / weight;
      const between = Math.max(0, squares / weight - middle * middle);
      const half = t * Math.sqrt(between + noise);
      const x = meanX / weight;
      return Object.freeze({
        timeMs,
        level: middle,
        lower: middle - half,
        upper: middle + half,
        extent: x < fit.seen.from ? 'below' : x > fit.seen.to ? 'above' : 'inside',
      });
    }),
  );
}

import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { crossCorrelation, type CrossCorrelation } from './crossCorrelation.js';
import { differenced, evenSeries, smoothed } from './evenSeries.js';

const HOUR = 3_600_000;

/** The correlations behind a picture of who leads. */
export interface LoggerCcf {
  readonly kind: 'logger-ccf';
  readonly status: CrossCorrelation['status'];
  readonly lagsHours: Float64Array;
  readonly correlation: Float64Array;
  /** Half width of the band of no relation; see `crossCorrelation`. */
  readonly band: number;
  readonly peakLagHours: number;
  /** `ln` where every level of the logger lies above its offset; else levels as they are. */
  readonly loggerScale: 'ln' | 'plain';
}

/**
 * Cross-correlation of the changes of gauge and logger: both on an even clock, ln, smoothed by a running mean, differenced. Differences
 * leave the seasons and the level out, so that what is left is the passing of waves. A picture and a first guess; `fitLogger` has the
 * interval.
 *
 * @param logger levels at the creek. @param gauge the official record.
 * @param options.maxLagHours default 24. @param options.smoothHours width of the running mean,
 *   default 3. @param options.stepHours default 1, or the coarser record's step.
 * @returns positive lag: the gauge leads. Few shared hours: `too-few-rows` and NaN.
 * @example loggerCcf(logger, gauge).peakLagHours // 3.2
 */
export function loggerCcf(
  logger: GaugeRecord,
  gauge: GaugeRecord,
  {
    maxLagHours = 24,
    smoothHours = 3,
    stepHours = Math.max(1, (logger.stepMs || 0) / HOUR, (gauge.stepMs || 0) / HOUR),
  }: { maxLagHours?: number; smoothHours?: number; stepHours?: number } = {},
): LoggerCcf {
  const stepMs = stepHours * HOUR;
  const own = evenSeries(logger, { stepMs });
  const other = evenSeries(gauge, { stepMs });
  // The gauge on the logger's clock.
  const moved = Math.round((own.fromMs - other.fromMs) / stepMs);
  const base = logger.zeroFlowStage ?? 0;
  const ln = own.values.every((v) => !(v <= base));
  const half = Math.round(Math.max(0, smoothHours / stepHours - 1) / 2);
  const changes = (values: Float64Array): Float64Array => differenced(smoothed(values, half));
  const levels = changes(ln ? own.values.map((v) => Math.log(v - base)) : own.values);
  const flows = changes(
    own.values.map((_, i) => Math.log((other.values[i + moved] ?? NaN) - (gauge.zeroFlowStage ?? 0))),
  );
  const r = crossCorrelation(flows, levels, { maxLag: Math.round(maxLagHours / stepHours) });
  return Object.freeze({
    kind: 'logger-ccf' as const,
    status: r.status,
    lagsHours: Float64Array.from(r.lags, (k) => k * stepHours),
    correlation: r.correlation,
    band: r.band,
    peakLagHours: r.peakLag * stepHours,
    loggerScale: ln ? ('ln' as const) : ('plain' as const),
  });
}

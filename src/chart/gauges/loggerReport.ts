import { finiteOrNull } from '../../kernel/estimate.js';
import { loggerCcf } from '../../fit/logger/loggerCcf.js';
import { loggerDoubt } from '../../fit/logger/loggerDoubt.js';
import { loggerLevel } from '../../fit/logger/loggerLevel.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { LoggerGauge } from './types.js';

/** Times of levels at most. */
const MOST_LEVELS = 1500;

/**
 * A logger explained by one gauge, as plain data: lag and storage, the levels that the gauge makes expect beside those seen, and the
 * correlation of the changes of both.
 *
 * @param options.logger its levels.
 * @param options.gauge the official record.
 */
export function loggerReport(
  fit: LoggerFit,
  { logger, gauge, withVisits }: { logger: GaugeRecord; gauge: GaugeRecord; withVisits: LoggerGauge['withVisits'] },
): LoggerGauge {
  const fitted = fit.status === 'converged';
  return {
    gauge: gauge.gauge,
    gaugeName: gauge.name,
    status: fit.status,
    sentence: fit.statusSentence,
    doubt: loggerDoubt(fit),
    lag: fitted ? fit.lag : null,
    storage: fitted ? fit.storage : null,
    form: fitted ? fit.rating.form : null,
    explained: finiteOrNull(fit.explained),
    residualSd: finiteOrNull(fit.residualSd),
    floods: fit.floods,
    rows: fit.rows,
    effectiveRows: fitted ? finiteOrNull(fit.effectiveRows) : null,
    levels: fitted ? levelsOf(fit, { logger, gauge }) : null,
    ccf: ccfOf(logger, gauge),
    withVisits: fitted ? withVisits : null,
  };
}

/** What was seen and what is expected, at evenly thinned times of the logger; a null where either record pauses. */
function levelsOf(
  fit: LoggerFit,
  { logger, gauge }: { logger: GaugeRecord; gauge: GaugeRecord },
): NonNullable<LoggerGauge['levels']> {
  const n = logger.timesMs.length;
  const every = Math.max(1, Math.ceil(n / (MOST_LEVELS / 2)));
  const timesMs: number[] = [];
  const seen: (number | null)[] = [];
  for (let i = 0; i < n; i += every) {
    const before = i - every;
    // A pause of the logger breaks the line; between thinned rows only a pause that is longer than they are apart does.
    if (before >= 0 && paused(logger, before, i)) {
      timesMs.push((logger.timesMs[before] + logger.timesMs[i]) / 2);
      seen.push(null);
    }
    timesMs.push(logger.timesMs[i]);
    seen.push(finiteOrNull(logger.values[i]));
  }
  const expected = loggerLevel(fit, { gauge, timesMs });
  const broken = (i: number, value: number): number | null => (seen[i] === null ? null : finiteOrNull(value));
  return {
    timesMs: timesMs,
    seen: seen,
    expected: expected.map(({ level }, i) => broken(i, level)),
    low80: expected.map(({ lower }, i) => broken(i, lower)),
    high80: expected.map(({ upper }, i) => broken(i, upper)),
  };
}

function paused({ timesMs, maxGapMs }: GaugeRecord, from: number, to: number): boolean {
  for (let i = from + 1; i <= to; i++) if (timesMs[i] - timesMs[i - 1] > maxGapMs) return true;
  return false;
}

function ccfOf(logger: GaugeRecord, gauge: GaugeRecord): LoggerGauge['ccf'] {
  const { status, lagsHours, correlation, band, peakLagHours } = loggerCcf(logger, gauge);
  if (status !== 'ok' || !Number.isFinite(band) || !Number.isFinite(peakLagHours)) return null;
  return {
    lagsHours: [...lagsHours],
    correlation: Array.from(correlation, finiteOrNull),
    band,
    peakLagHours,
  };
}

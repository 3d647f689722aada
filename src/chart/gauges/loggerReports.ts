import { waveHours } from '../../align/waveHours.js';
import { loggerDoubt } from '../../fit/logger/loggerDoubt.js';
import type { Run } from '../../series/creek.js';
import type { FittedCreek } from '../fitCreek.js';
import type { ChartedRelation } from './chartedRelation.js';
import { loggerReport } from './loggerReport.js';
import type { LoggerReport } from './types.js';
import { withVisits } from './withVisits.js';

/**
 * Every logger that stood at a run, against every gauge that it was fitted to, both in the order of creek.json.
 *
 * @param options.charted what the visits' fits say, for lag and storage with and without the loggers.
 * @returns one whose file could not be read has null times and no gauge; one that was not to be used has no gauge.
 */
export function loggerReports(
  { creek, input, relations }: FittedCreek,
  { run, charted }: { run: Run; charted: readonly ChartedRelation[] },
): readonly LoggerReport[] {
  const own = (creek.loggers ?? []).filter((logger) => logger.run === run.id);
  return own.map(({ id, name, unit, kmFromPutIn }): LoggerReport => {
    const series = input.loggers?.find(({ gauge }) => gauge === id);
    const n = series?.timesMs.length ?? 0;
    const shiftHours = waveHours(creek, kmFromPutIn ?? 0);
    const gauges = relations.flatMap((relation) => {
      const fit = relation.run.id === run.id ? relation.loggers.find(({ logger }) => logger === id) : undefined;
      if (series === undefined || fit === undefined) return [];
      const chart = charted.find((one) => one.relation === relation)?.chart;
      return [
        loggerReport(fit, {
          logger: series,
          gauge: relation.record,
          // A logger in doubt had no say in the chart's lag.
          withVisits:
            chart === undefined || loggerDoubt(fit) !== null ? null : withVisits(relation, { fit, shiftHours }),
        }),
      ];
    });
    return {
      id,
      name,
      unit,
      kmFromPutIn: kmFromPutIn ?? null,
      fromMs: n === 0 ? null : series!.timesMs[0],
      toMs: n === 0 ? null : series!.timesMs[n - 1],
      gauges: gauges,
    };
  });
}

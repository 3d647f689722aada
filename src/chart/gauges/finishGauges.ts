import { isUsableGrade } from '../../judge/grade.js';
import type { FittedCreek } from '../fitCreek.js';
import { deepFreeze } from '../deepFreeze.js';
import type { CreekChart } from '../types.js';
import { chartedRelations } from './chartedRelation.js';
import { travelOf } from './lagReport.js';
import { loggerReports } from './loggerReports.js';
import { staffRating } from './staffRating.js';
import { staffReport } from './staffReport.js';
import type { GaugesResult } from './taskTypes.js';
import type { CreekGauges, LagReport, RunGauges } from './types.js';

/**
 * What gauges.json holds.
 *
 * @param fitted, chart with the means that rankings proposed among them.
 * @param results of the tasks of `planRankings` and `planGauges`, in any order.
 * @returns frozen plain data; what a missing result would say is null.
 */
export function finishGauges(fitted: FittedCreek, chart: CreekChart, results: readonly GaugesResult[]): CreekGauges {
  const flowOf = (run: string, gauge: string) =>
    results.flatMap((one) => (one.kind === 'flow-lag' && one.run === run && one.gauge === gauge ? [one.flow] : []))[0];
  return deepFreeze({
    kind: 'creek-gauges' as const,
    schema: 1 as const,
    creek: chart.creek,
    runs: fitted.runs.map((run): RunGauges => {
      const charted = chartedRelations(fitted, chart, run);
      const usable = charted.filter((one) => isUsableGrade(one.chart.trust.grade));
      return {
        id: run.id,
        name: run.name,
        ...rankingOf(
          fitted,
          results.filter((one) => one.kind === 'rank').findLast((one) => one.run === run.id),
        ),
        chosenCaution: null,
        combined: null,
        loggers: loggerReports(fitted, { run, charted }),
        lags: charted.map(({ relation: { record }, chart: gauge }): LagReport => ({
          gauge: record.gauge,
          gaugeName: record.name,
          travel: travelOf(
            fitted.creek.gauges.find(({ id }) => id === record.gauge),
            record,
            { chart: gauge },
          ),
          flow: flowOf(run.id, record.gauge) ?? null,
        })),
        staffs: run.features
          .filter(({ unit }) => unit !== undefined)
          .map((feature) =>
            staffReport(feature, {
              run,
              visits: fitted.input.visits,
              ratings: usable.flatMap((one) => staffRating(feature, one) ?? []),
            }),
          ),
      };
    }),
    cautions: chart.cautions,
    provenance: chart.provenance,
  });
}

function rankingOf(
  { creek, input, records }: FittedCreek,
  result: Extract<GaugesResult, { kind: 'rank' }> | undefined,
): Pick<RunGauges, 'ranking' | 'noRanking'> {
  const none = (noRanking: string) => ({ ranking: null, noRanking });
  if (records.length === 0) return none('There is no gauge to read.');
  if (records.length === 1) {
    const known = creek.gauges.length + (creek.derivedGauges?.length ?? 0);
    const which = input.records.length > 1 ? ' asked for' : known > 1 ? ' with a record' : '';
    return none(`${records[0].name} is the only gauge${which}: there is nothing to choose between.`);
  }
  if (result === undefined) return none('Gauges were not compared.');
  const { ranking } = result;
  if (ranking.warning.length + ranking.confirming.length > 0) return { ranking, noRanking: null };
  const why = [...new Set(ranking.aside.map(({ reason }) => reason))].join(' ');
  return none(`No gauge could be compared. ${why}`.trim());
}

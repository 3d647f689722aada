import { isUsableGrade } from '../../judge/grade.js';
import type { FittedCreek } from '../fitCreek.js';
import { deepFreeze } from '../deepFreeze.js';
import type { CreekChart } from '../types.js';
import { chartedRelations } from './chartedRelation.js';
import { travelOf } from './lagReport.js';
import { loggerReports } from './loggerReports.js';
import { staffRating } from './staffRating.js';
import { staffReport } from './staffReport.js';
import type { GaugesPlan, GaugesResult } from './taskTypes.js';
import type { CreekGauges, LagReport, RunGauges } from './types.js';

/**
 * What gauges.json holds, from the results of all tasks of a plan.
 *
 * @param fitted, chart those that the plan was made from. @param options.results in any order.
 * @returns frozen plain data; what a missing result would say is null.
 * @example finishGauges(fitted, chart, { plan, results: plan.tasks.map((task) => runGaugesTask(plan.context, task)) })
 */
export function finishGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { plan, results }: { plan: GaugesPlan; results: readonly GaugesResult[] },
): CreekGauges {
  const found = new Map(results.map((result) => [result.id, result]));
  const resultOf = <K extends GaugesResult['kind']>(
    kind: K,
    { run, gauge }: { run: string; gauge?: string },
  ): Extract<GaugesResult, { kind: K }> | undefined => {
    const task = plan.tasks.find((t) => t.kind === kind && t.run === run && (t.kind === 'rank' || t.gauge === gauge));
    return task === undefined ? undefined : (found.get(task.id) as Extract<GaugesResult, { kind: K }>);
  };
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
        ...rankingOf(fitted, resultOf('rank', { run: run.id })),
        loggers: loggerReports(fitted, { run, charted }),
        lags: charted.map(({ relation: { record }, chart: gauge }): LagReport => ({
          gauge: record.gauge,
          gaugeName: record.name,
          travel: travelOf(
            fitted.creek.gauges.find(({ id }) => id === record.gauge),
            record,
            { chart: gauge },
          ),
          flow: resultOf('flow-lag', { run: run.id, gauge: record.gauge })?.flow ?? null,
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

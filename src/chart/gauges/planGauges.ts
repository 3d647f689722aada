import { isUsableGrade } from '../../judge/grade.js';
import type { FittedCreek } from '../fitCreek.js';
import type { CreekChart } from '../types.js';
import type { GaugesPlan, GaugesTask } from './taskTypes.js';

/** How much is asked of a creek's gauges. */
export type GaugesDepth = 'full' | 'quick';

/**
 * Everything about a creek's gauges that needs fits of its own, as small tasks for any number of cores: the ranking of each run with more than one gauge, and for each
 * gauge of a usable grade whether its lag shortens as the flow grows (a derived one has no lag of its own).
 *
 * @param options.depth `quick`: no tasks; loggers, distances and staffs are told from what is fitted already. Default 'full'.
 * @example finishGauges(fitted, chart, { results: runGaugesTasks(planGauges(fitted, chart)) })
 */
export function planGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth = 'full' }: { depth?: GaugesDepth } = {},
): GaugesPlan {
  const { creek, input, runs, records, options } = fitted;
  const derived = new Set((creek.derivedGauges ?? []).map(({ id }) => id));
  const tasks: GaugesTask[] = [];
  if (depth === 'full') {
    if (records.length > 1)
      for (const { id, name } of runs) tasks.push({ kind: 'rank', id: `ranking for ${name}`, run: id });
    for (const run of chart.runs)
      for (const { gauge, trust } of run.gauges)
        if (isUsableGrade(trust.grade) && !derived.has(gauge.id))
          tasks.push({
            kind: 'flow-lag',
            id: `lag and flow, ${run.name} by ${gauge.name}`,
            run: run.id,
            gauge: gauge.id,
          });
  }
  const { seed, link, leadHours, draws, lagsHours, storagesHours } = options;
  return Object.freeze({
    kind: 'gauges-plan' as const,
    context: Object.freeze({
      label: 'which gauge',
      creek,
      records,
      visits: input.visits,
      seed,
      link,
      leadHours,
      draws,
      lagsHours,
      storagesHours,
    }),
    tasks: Object.freeze(tasks),
  });
}

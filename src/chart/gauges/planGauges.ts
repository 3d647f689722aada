import { isUsableGrade } from '../../judge/grade.js';
import { coarseLags } from '../../judge/gauges/coarseLags.js';
import type { GaugeCandidate } from '../../judge/gauges/types.js';
import type { Creek } from '../../series/creek.js';
import type { FittedCreek, Relation } from '../fitCreek.js';
import type { CreekChart } from '../types.js';
import type { GaugesPlan, GaugesTask } from './taskTypes.js';

/** How much is asked of a creek's gauges. */
export type GaugesDepth = 'full' | 'quick';

/**
 * Everything about a creek's gauges that needs fits of its own, as small tasks for any number of cores: the ranking of each run with more than one gauge, and for each
 * gauge of a usable grade that leads whether its lag shortens as the flow grows (a derived one has no lag of its own).
 *
 * @param options.depth `quick`: no tasks; loggers, distances and staffs are told from what is fitted already. Default 'full'.
 * @example const plan = planGauges(fitted, chart);
 * const results = plan.tasks.map((task) => runGaugesTask(plan.context, task));
 * finishGauges(fitted, chart, { plan, results }).runs[0].ranking?.choice.sentence
 */
export function planGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth = 'full' }: { depth?: GaugesDepth } = {},
): GaugesPlan {
  const { creek, input, runs, records, relations, options } = fitted;
  const derived = new Set((creek.derivedGauges ?? []).map(({ id }) => id));
  const { seed, link, leadHours, draws, lagsHours } = options;
  const runNames = uniqueNames(runs);
  const gaugeNames = uniqueNames(records.map(({ gauge: id, name }) => ({ id, name })));
  const tasks: GaugesTask[] = [];
  if (depth === 'full') {
    if (records.length > 1)
      for (const { id } of runs) tasks.push({ kind: 'rank', id: `ranking for ${runNames.get(id)!}`, run: id });
    for (const run of chart.runs)
      for (const { gauge, trust, lag, storage } of run.gauges)
        // Where the creek leads, or by less than the lead, the lag stands at its bound and has nothing to shorten by.
        if (isUsableGrade(trust.grade) && !derived.has(gauge.id) && lag.median > leadHours)
          tasks.push({
            kind: 'flow-lag',
            id: `lag and flow, ${runNames.get(run.id)!} by ${gaugeNames.get(gauge.id)!}`,
            run: run.id,
            gauge: gauge.id,
            storageHours: storage.median,
          });
  }
  return Object.freeze({
    kind: 'gauges-plan' as const,
    context: Object.freeze({
      label: 'which gauge',
      creek,
      records,
      candidates: Object.freeze(
        runs.map((run) =>
          Object.freeze({
            run: run.id,
            of: relations.filter((r) => r.run.id === run.id).map((r) => candidateOf(r, { creek, leadHours })),
          }),
        ),
      ),
      visits: input.visits,
      seed,
      link,
      leadHours,
      draws,
      lagsHours,
    }),
    tasks: Object.freeze(tasks),
  });
}

/** Names by id, with the id behind those that are given twice. */
function uniqueNames(all: readonly { readonly id: string; readonly name: string }[]): ReadonlyMap<string, string> {
  const times = (name: string): number => all.filter((one) => one.name === name).length;
  return new Map(all.map(({ id, name }) => [id, times(name) > 1 ? `${name} (${id})` : name]));
}

/** A relation as a candidate: with its fits, and on a coarser grid for where they can't stand. */
function candidateOf(
  { record, aligned, fits, gridPrior }: Relation,
  { creek, leadHours }: { creek: Creek; leadHours: number },
): GaugeCandidate {
  const made = creek.derivedGauges?.find(({ id }) => id === record.gauge);
  return Object.freeze({
    id: record.gauge,
    name: record.name,
    kind: made === undefined ? ('single' as const) : ('derived' as const),
    sources: Object.freeze(made === undefined ? [record.gauge] : [...made.of]),
    ...coarseLags(aligned, { leadHours, gridPrior }),
    fitted: Object.freeze({ aligned, fits }),
  });
}

import { isUsableGrade } from '../../judge/grade.js';
import { gaugeCandidate } from '../../judge/gauges/gaugeCandidate.js';
import type { FittedCreek } from '../fitCreek.js';
import type { CreekChart, GaugeChart } from '../types.js';
import type { GaugesPlan, GaugesTask } from './taskTypes.js';

/** How much is asked of a creek's gauges. */
export type GaugesDepth = 'full' | 'quick';

/** Plain gauges whose weighted means are tried, the best first. */
const COMBINE = 4;

/**
 * The ranking of each run with more than one gauge, as tasks. It needs the fits alone, so it comes before anything is judged or charted.
 *
 * @param options.depth `quick`: weighted means are not tried, which would need fits of their own. @param options.runs ids; default all.
 */
export function planRankings(
  fitted: FittedCreek,
  { depth = 'full', runs }: { depth?: GaugesDepth; runs?: readonly string[] } = {},
): GaugesPlan {
  const { relations } = fitted;
  const names = uniqueNames(fitted.runs);
  const several = (run: string) => relations.filter((relation) => relation.run.id === run).length > 1;
  return planOf(
    fitted,
    fitted.runs
      .filter(({ id }) => several(id) && (runs?.includes(id) ?? true))
      .map(({ id }) => ({
        kind: 'rank',
        id: `ranking for ${names.get(id)!}`,
        run: id,
        combine: depth === 'full' ? COMBINE : 0,
      })),
  );
}

/**
 * Whether the lag shortens as the flow grows, for each gauge of a usable grade that leads (a derived one has no lag of its own), as tasks.
 *
 * @param options.depth `quick`: no tasks; loggers, distances and staffs are told from what is fitted already. Default 'full'.
 */
export function planGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth = 'full' }: { depth?: GaugesDepth } = {},
): GaugesPlan {
  const { creek, runs, records, options } = fitted;
  const derived = new Set((creek.derivedGauges ?? []).map(({ id }) => id));
  const runNames = uniqueNames(runs);
  const gaugeNames = uniqueNames(records.map(({ gauge: id, name }) => ({ id, name })));
  const leads = ({ gauge, trust, lag }: GaugeChart) =>
    // Where the creek leads, or by less than the lead, the lag stands at its bound and has nothing to shorten by.
    isUsableGrade(trust.grade) && !derived.has(gauge.id) && lag.median > options.leadHours;
  const asked = depth === 'full' ? chart.runs : [];
  return planOf(
    fitted,
    asked.flatMap((run) =>
      run.gauges.filter(leads).map(({ gauge, storage }) => ({
        kind: 'flow-lag',
        id: `lag and flow, ${runNames.get(run.id)!} by ${gaugeNames.get(gauge.id)!}`,
        run: run.id,
        gauge: gauge.id,
        storageHours: storage.median,
      })),
    ),
  );
}

function planOf({ creek, input, runs, records, relations, options }: FittedCreek, tasks: GaugesTask[]): GaugesPlan {
  const { seed, link, leadHours, draws, lagsHours } = options;
  const candidates = runs.map(({ id }) => ({
    run: id,
    of: relations.filter(({ run }) => run.id === id).map((relation) => gaugeCandidate(creek, relation)),
  }));
  const context = {
    label: 'which gauge',
    creek,
    records,
    candidates,
    visits: input.visits,
    seed,
    link,
    leadHours,
    draws,
    lagsHours,
  };
  return { kind: 'gauges-plan', context, tasks };
}

/** Names by id, with the id behind those that are given twice. */
function uniqueNames(all: readonly { readonly id: string; readonly name: string }[]): ReadonlyMap<string, string> {
  const times = (name: string): number => all.filter((one) => one.name === name).length;
  return new Map(all.map(({ id, name }) => [id, times(name) > 1 ? `${name} (${id})` : name]));
}

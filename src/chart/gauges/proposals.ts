import { isUsableGrade } from '../../judge/grade.js';
import type { GaugeChoice } from '../../judge/gauges/types.js';
import { deriveRecord } from '../../read/deriveRecord.js';
import type { FitsPlan, FittedCreek, FittedPair } from '../fitCreek.js';
import type { GaugeChart } from '../types.js';
import type { GaugesResult } from './taskTypes.js';

/**
 * The weighted means that rankings chose, as derived gauges with a record of their own, and the fit of each to the run that it was chosen
 * for. They are then fitted, judged, ranked again and charted as any gauge, so that what is recommended has a grade, a card and a
 * calculator.
 *
 * @param results of the rankings; those without a proposal ask for nothing.
 * @returns a plan without tasks where no mean was chosen.
 */
export function planProposals(
  { creek, input, runs, records, options }: FittedCreek,
  results: readonly GaugesResult[],
): FitsPlan {
  const known = [...(creek.derivedGauges ?? [])];
  const taken = new Set([...records.map(({ gauge }) => gauge), ...known.map(({ id }) => id)]);
  const pairs = results.flatMap((result) => {
    const run = result.kind === 'rank' ? runs.find(({ id }) => id === result.run) : undefined;
    if (result.kind !== 'rank' || result.proposal === null || run === undefined) return [];
    const { proposal } = result;
    const derived = { ...proposal, id: taken.has(proposal.id) ? `${proposal.id}-${run.id}` : proposal.id };
    const { record } = deriveRecord(derived, records);
    if (record === undefined) return [];
    taken.add(derived.id);
    known.push(derived);
    return [{ run, record }];
  });
  return {
    kind: 'fits-plan',
    context: {
      label: 'fitting combined gauges',
      creek: { ...creek, derivedGauges: known },
      pairs,
      visits: input.visits,
      loggers: [],
      options,
    },
    tasks: pairs.map(({ run, record }, at) => ({ id: `${run.name} by ${record.name}`, at })),
  };
}

/** The creek with the means of a plan among its gauges, from what was fitted to each pair. */
export function withProposals(
  fitted: FittedCreek,
  { context: { creek, pairs } }: FitsPlan,
  found: readonly FittedPair[],
): FittedCreek {
  return {
    ...fitted,
    creek,
    records: [...fitted.records, ...pairs.map(({ record }) => record)],
    relations: [...fitted.relations, ...pairs.map((pair, i) => ({ ...pair, ...found[i] }))],
  };
}

/**
 * The gauge to read for a run: the ranking's choice, if its chart is for use; else the best plain single gauge that is; else the best of
 * all that is.
 *
 * @param gauges charts of the run, best first.
 * @param choice null where gauges were not ranked.
 * @returns an id; null where no gauge is for use.
 */
export function recommendedGauge(gauges: readonly GaugeChart[], choice: Pick<GaugeChoice, 'id'> | null): string | null {
  const usable = gauges.filter(({ trust, level }) => isUsableGrade(trust.grade) && level !== undefined);
  const chosen = usable.find(({ gauge }) => gauge.id === choice?.id);
  return (chosen ?? usable.find(({ gauge }) => gauge.parts === undefined) ?? usable[0])?.gauge.id ?? null;
}

import { alignVisits, type AlignOptions } from '../../align/alignVisits.js';
import type { Creek, DerivedGauge, Run } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { Visit } from '../../series/visits.js';
import type { GaugeCandidate } from './types.js';

/**
 * A run's candidates for `rankGauges`: every record of a creek, with the official gauges that stand behind a derived one.
 *
 * @param input the creek, the run, its records (derived ones among them) and the visits, as read. @param options.grid lags and storages as for `alignVisits`; default the creek's. A lag a
 *   whole hour apart from the next is enough for ranking, and four times as quick.
 * @returns one a record, in their order.
 * @example rankGauges(gaugeCandidates({ creek, run, records, visits }), { leadHours: 2 })
 */
export function gaugeCandidates(
  input: {
    readonly creek: Creek;
    readonly run: Run;
    readonly records: readonly GaugeRecord[];
    readonly visits: readonly Visit[];
  },
  { grid = {} }: { grid?: AlignOptions } = {},
): readonly GaugeCandidate[] {
  const { creek, run, records, visits } = input;
  const derived = new Map<string, DerivedGauge>((creek.derivedGauges ?? []).map((d) => [d.id, d]));
  return records.map((record) => {
    const made = derived.get(record.gauge);
    return {
      id: record.gauge,
      name: record.name,
      kind: made === undefined ? ('single' as const) : ('derived' as const),
      sources: made === undefined ? [record.gauge] : [...made.of],
      aligned: alignVisits({ creek, run, record, visits }, grid),
    };
  });
}

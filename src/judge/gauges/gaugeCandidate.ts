import type { Aligned } from '../../align/types.js';
import type { LevelFits } from '../../fit/fitLevels.js';
import type { Creek } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import type { GaugeCandidate } from './types.js';

/** A record of a creek as a candidate for `rankGauges`, with the official gauges that stand behind a derived one. */
export function gaugeCandidate(
  creek: Creek,
  {
    record,
    aligned,
    fits,
    gridPrior,
  }: {
    readonly record: GaugeRecord;
    readonly aligned: Aligned;
    readonly fits?: LevelFits;
    readonly gridPrior?: Float64Array | undefined;
  },
): GaugeCandidate {
  const made = creek.derivedGauges?.find(({ id }) => id === record.gauge);
  return {
    id: record.gauge,
    name: record.name,
    kind: made === undefined ? 'single' : made.kind === 'mean' ? 'combined' : 'derived',
    sources: made?.of ?? [record.gauge],
    aligned,
    ...(gridPrior !== undefined && { gridPrior }),
    ...(fits !== undefined && { fitted: { aligned, fits } }),
  };
}

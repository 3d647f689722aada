import { lagAndDistance, reachTimes, travelTimeSentence, type Reach } from '../../fit/travelTime/travelTimePrior.js';
import { quantile } from '../../kernel/quantile.js';
import type { Gauge } from '../../series/creek.js';
import type { GaugeRecord } from '../../series/gaugeRecord.js';
import { convertUnit } from '../../series/units.js';
import type { GaugeChart } from '../types.js';
import type { LagReport } from './types.js';

/**
 * What the distance says of a gauge's lag: the times of a tracer and of a wave at a usual flow (the record's median), and whether the lag
 * found goes with them.
 *
 * @param gauge its entry in creek.json; undefined for a derived one.
 * @param options.chart of the run by this gauge: its lag over both signs.
 * @returns null where creek.json does not say how the gauge lies to the run or how large its catchment is, and for a stage gauge: the
 *   formula needs a discharge.
 */
export function travelOf(
  gauge: Gauge | undefined,
  record: GaugeRecord,
  { chart }: { chart: GaugeChart | undefined },
): LagReport['travel'] {
  const reach = reachOf(gauge, record);
  if (reach === null) return null;
  const times = reachTimes(reach);
  const [low, high] = chart?.lag.i80 ?? [null, null];
  const found = low === null || high === null ? null : ([low, high] as const);
  return {
    lengthKm: reach.lengthKm,
    lies: reach.gaugeLies,
    tracerHours: [times.tracerFastest, times.tracerProbable] as const,
    waveHours: [times.waveFastest, times.waveProbable] as const,
    lagGoes: found === null ? null : lagAndDistance(reach, { lagHours: found }) === 'goes',
    sentence: travelTimeSentence(reach, found === null ? {} : { lagHours: found }),
  };
}

function reachOf(gauge: Gauge | undefined, record: GaugeRecord): Reach | null {
  if (gauge?.reach === undefined || gauge.catchmentAreaKm2 === undefined || record.parameter !== 'discharge')
    return null;
  const { lies, lengthKm, slope, meanFlow } = gauge.reach;
  const flows = record.values.filter((v) => v > 0);
  if (flows.length === 0) return null;
  return {
    lengthKm,
    gaugeLies: lies,
    areaKm2: gauge.catchmentAreaKm2,
    flowM3s: convertUnit(quantile(flows, 0.5), record.unit, 'm3/s'),
    ...(slope !== undefined && { slope }),
    ...(meanFlow !== undefined && { meanFlowM3s: convertUnit(meanFlow, record.unit, 'm3/s') }),
  };
}

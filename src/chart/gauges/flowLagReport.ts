import { flowLag } from '../../fit/travelTime/flowLag.js';
import { splitSeed } from '../../kernel/random.js';
import type { GaugesContext } from './taskTypes.js';
import type { LagReport } from './types.js';

/** Lags are tried this far beyond the lead: the question needs a few, and each costs a record. */
const SPAN_HOURS = 12;

/**
 * Whether a gauge's lag shortens as the flow grows, for a run.
 * @returns null where there is no lag to choose from, or nothing could be fitted.
 */
export function flowLagReport(
  { creek, records, visits, seed, link, leadHours, lagsHours }: GaugesContext,
  { run, gauge, storageHours }: { readonly run: string; readonly gauge: string; readonly storageHours: number },
): LagReport['flow'] {
  const lags = wholeLags(lagsHours, leadHours);
  if (lags.length < 2) return null;
  const record = records.find((r) => r.gauge === gauge)!;
  const found = flowLag(
    { creek, run: creek.runs.find(({ id }) => id === run)!, record, visits },
    {
      leadHours,
      lagsHours: lags,
      // A storage that the model may not have is taken for a lag: the chart's own stands beside none.
      storagesHours: [...new Set([0, storageHours])],
      link,
      seed: splitSeed(seed, `${run}/${gauge}/flow-lag`),
    },
  );
  if (!(found.fit.draws.count > 0) || !Number.isFinite(found.logBayesFactor)) return null;
  return {
    visits: found.visits,
    flowAt: found.flowAt + (record.zeroFlowStage ?? 0),
    unit: record.unit,
    lag: found.lag,
    exponent: found.exponent,
    logBayesFactor: found.logBayesFactor,
    kept: found.kept,
    sentence: found.sentence,
  };
}

function wholeLags(lagsHours: readonly number[], leadHours: number): readonly number[] {
  const from = Math.max(0, leadHours);
  return lagsHours.filter((lag) => Number.isInteger(lag) && lag >= from && lag <= from + SPAN_HOURS);
}

import { gaugeCandidates } from '../../judge/gauges/gaugeCandidates.js';
import { rankWithFits } from '../../judge/gauges/rankGauges.js';
import type { Craft } from '../../judge/refits/runTasks.js';
import { splitSeed } from '../../kernel/random.js';
import { combinedReading } from './combinedReading.js';
import { flowLagReport } from './flowLagReport.js';
import type { GaugesContext, GaugesResult, GaugesTask } from './taskTypes.js';

/** How the fits about a creek's gauges are done. */
export const gaugesCraft: Craft<GaugesContext, undefined, GaugesTask, GaugesResult> = {
  start: null,
  task: (context, _, task) => runGaugesTask(context, task),
};

/** One task of a creek's gauges. Pure: the same context and task give the same result on any core. */
export function runGaugesTask(context: GaugesContext, task: GaugesTask): GaugesResult {
  const { id } = task;
  return task.kind === 'rank'
    ? rankResult(context, task)
    : Object.freeze({ kind: 'flow-lag', id, flow: flowLagReport(context, task) });
}

function rankResult(
  { creek, records, visits, seed, link, leadHours, draws, lagsHours, storagesHours }: GaugesContext,
  { id, run }: { readonly id: string; readonly run: string },
): GaugesResult {
  const candidates = gaugeCandidates(
    { creek, run: creek.runs.find((r) => r.id === run)!, records, visits },
    { grid: { lagsHours: rankingLags(lagsHours, leadHours), storagesHours } },
  );
  const own = splitSeed(seed, `${run}/gauges`);
  const { ranking, chosen } = rankWithFits(candidates, { leadHours, link, seed: own });
  const combined =
    chosen?.combined === undefined
      ? null
      : combinedReading(chosen.combined, chosen.fit, {
          records,
          leadHours,
          link,
          draws,
          seed: splitSeed(own, 'combined'),
        });
  return Object.freeze({ kind: 'rank' as const, id, ranking, combined });
}

/** Whole hours are enough for ranking; all lags where whole ones leave none to warn with. */
function rankingLags(lagsHours: readonly number[], leadHours: number): readonly number[] {
  const whole = lagsHours.filter(Number.isInteger);
  return whole.length > 1 && whole[whole.length - 1] >= leadHours ? whole : lagsHours;
}

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

/**
 * One task of a creek's gauges. Pure: the same context and task give the same result on any core.
 * @returns frozen plain data.
 * @example const results = plan.tasks.map((task) => runGaugesTask(plan.context, task));
 */
export function runGaugesTask(context: GaugesContext, task: GaugesTask): GaugesResult {
  const { id } = task;
  return task.kind === 'rank'
    ? rankResult(context, task)
    : Object.freeze({ kind: 'flow-lag', id, flow: flowLagReport(context, task) });
}

function rankResult(
  { records, candidates, seed, link, leadHours, draws }: GaugesContext,
  { id, run }: { readonly id: string; readonly run: string },
): GaugesResult {
  const own = splitSeed(seed, `${run}/gauges`);
  const { of } = candidates.find((c) => c.run === run)!;
  const { ranking, chosen } = rankWithFits(of, { leadHours, link, seed: own });
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

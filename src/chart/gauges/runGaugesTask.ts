import { rankAndPropose } from '../../judge/gauges/rankGauges.js';
import { splitSeed } from '../../kernel/random.js';
import { flowLagReport } from './flowLagReport.js';
import type { GaugesContext, GaugesResult, GaugesTask } from './taskTypes.js';

/**
 * One task of a creek's gauges. Pure: the same context and task give the same result on any core.
 * @returns frozen plain data.
 * @example const results = plan.tasks.map((task) => runGaugesTask(plan.context, task));
 */
export function runGaugesTask(context: GaugesContext, task: GaugesTask): GaugesResult {
  const { id } = task;
  return task.kind === 'rank'
    ? rankResult(context, task)
    : { kind: 'flow-lag', id, run: task.run, gauge: task.gauge, flow: flowLagReport(context, task) };
}

function rankResult(
  { candidates, seed, link, leadHours }: GaugesContext,
  { id, run, combine }: { readonly id: string; readonly run: string; readonly combine: number },
): GaugesResult {
  const { of } = candidates.find((c) => c.run === run)!;
  const ranked = rankAndPropose(of, { leadHours, link, combine, seed: splitSeed(seed, `${run}/gauges`) });
  return { kind: 'rank', id, run, ...ranked };
}

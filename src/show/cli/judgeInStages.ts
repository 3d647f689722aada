import { finishGauges } from '../../chart/gauges/finishGauges.js';
import { planGauges } from '../../chart/gauges/planGauges.js';
import type { CreekGauges } from '../../chart/gauges/types.js';
import type { FittedCreek } from '../../chart/fitCreek.js';
import { finishCreek, judgeFitted, planCreek, type JudgedCreek } from '../../chart/judgeCreek.js';
import type { CreekChart } from '../../chart/types.js';
import { runOnCores } from '../workers/runOnCores.js';
import type { Progress } from './showProgress.js';

export type Depth = 'full' | 'quick';

interface StageOptions {
  readonly depth: Depth;
  readonly cores?: number | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Said before the first step. */
  readonly label?: string;
  readonly onProgress?: (progress: Progress) => void;
}

/** Judges a charted creek: quickly by weights, or with all fits of their own on all cores. */
export async function judgeInStages(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth, cores, signal, label = 'how far to trust it', onProgress }: StageOptions,
): Promise<JudgedCreek> {
  if (depth === 'quick') return judgeFitted(fitted, chart, { onProgress });
  // Planning looks for shifts first, which takes seconds: the first chart stands, and this says what goes on.
  onProgress?.({ done: 0, total: 1, label });
  const plan = planCreek(fitted, chart);
  return finishCreek(plan, await runOnCores(plan.plans, { onProgress, cores, signal }));
}

/** Compares the gauges of a charted creek on all cores, without judging it. */
export async function gaugesInStages(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth, cores, signal, onProgress }: StageOptions,
): Promise<CreekGauges> {
  const plan = planGauges(fitted, chart, { depth });
  const [results] = await runOnCores([plan], { onProgress, cores, signal });
  return finishGauges(fitted, chart, { plan, results });
}

/** Both together: what is left of one keeps the cores busy with the other. */
export async function judgeAndCompare(
  fitted: FittedCreek,
  chart: CreekChart,
  { label = 'how far to trust it', ...options }: StageOptions,
): Promise<JudgedCreek & { readonly gauges: CreekGauges }> {
  const { depth, cores, signal, onProgress } = options;
  const gaugesPlan = planGauges(fitted, chart, { depth });
  if (depth === 'quick')
    return {
      ...judgeFitted(fitted, chart, { onProgress }),
      gauges: finishGauges(fitted, chart, { plan: gaugesPlan, results: [] }),
    };
  onProgress?.({ done: 0, total: 1, label });
  const plan = planCreek(fitted, chart);
  const [compared, ...judged] = await runOnCores([gaugesPlan, ...plan.plans], {
    onProgress,
    cores,
    signal,
  });
  return {
    ...finishCreek(plan, judged),
    gauges: finishGauges(fitted, chart, { plan: gaugesPlan, results: compared }),
  };
}

import { finishCreek, judgeFitted, planCreek, type JudgedCreek } from '../../chart/judgeCreek.js';
import type { FittedCreek } from '../../chart/fitCreek.js';
import type { CreekChart } from '../../chart/types.js';
import { runOnCores } from '../workers/runOnCores.js';
import type { Progress } from './showProgress.js';

export type Depth = 'full' | 'quick';

/** Judges a charted creek: quickly by weights, or with all fits of their own on all cores. */
export async function judgeInStages(
  fitted: FittedCreek,
  chart: CreekChart,
  {
    depth,
    cores,
    label = 'how far to trust it',
    onProgress,
  }: {
    depth: Depth;
    cores?: number;
    /** Said before the first step. */ label?: string;
    onProgress?: (progress: Progress) => void;
  },
): Promise<JudgedCreek> {
  const report = onProgress === undefined ? {} : { onProgress };
  if (depth === 'quick') return judgeFitted(fitted, chart, report);
  // Planning looks for shifts first, which takes seconds: the first chart stands, and this says what goes on.
  onProgress?.({ done: 0, total: 1, label });
  const plan = planCreek(fitted, chart);
  return finishCreek(plan, await runOnCores(plan.plans, { ...report, ...(cores === undefined ? {} : { cores }) }));
}

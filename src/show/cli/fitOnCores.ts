import { fitCreek, gatherFits, planFits, type ChartOptions, type FittedCreek } from '../../chart/fitCreek.js';
import type { CreekInput } from '../../read/types.js';
import { checkCores, runOnCores, workersFor } from '../workers/runOnCores.js';

/** `fitCreek` on all cores; with few pairs in this process, where progress is told within a pair too. */
export async function fitOnCores(
  input: CreekInput,
  {
    cores,
    signal,
    ...options
  }: ChartOptions & { readonly cores?: number | undefined; readonly signal?: AbortSignal | undefined } = {},
): Promise<FittedCreek> {
  const { onProgress } = options;
  if (cores !== undefined) checkCores(cores);
  signal?.throwIfAborted();
  const plan = planFits(input, options);
  if (workersFor(plan.tasks.length, cores) < 2)
    return fitCreek(input, {
      ...options,
      onProgress: (at) => {
        signal?.throwIfAborted();
        onProgress?.(at);
      },
    });
  onProgress?.({ done: 0, total: plan.tasks.length, label: plan.context.label });
  const [fitted] = await runOnCores([plan], { cores, signal, onProgress });
  return gatherFits(input, plan, { fitted, options });
}

import { judgeFitted, type JudgedCreek } from '../../chart/judgeCreek.js';
import type { FittedCreek } from '../../chart/fitCreek.js';
import type { CreekChart } from '../../chart/types.js';
import type { Progress } from './showProgress.js';

export type Depth = 'full' | 'quick';

/** Judges a charted creek. */
export async function judgeInStages(
  fitted: FittedCreek,
  chart: CreekChart,
  { onProgress }: { depth: Depth; onProgress?: (progress: Progress) => void },
): Promise<JudgedCreek> {
  return Promise.resolve(judgeFitted(fitted, chart, onProgress === undefined ? {} : { onProgress }));
}

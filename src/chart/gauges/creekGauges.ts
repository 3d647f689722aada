import { runTasks, type TaskProgress } from '../../judge/refits/runTasks.js';
import type { FittedCreek } from '../fitCreek.js';
import type { CreekChart } from '../types.js';
import { finishGauges } from './finishGauges.js';
import { planGauges, planRankings, type GaugesDepth } from './planGauges.js';
import { gaugesCraft } from './runGaugesTask.js';
import type { CreekGauges } from './types.js';

export interface CreekGaugesOptions {
  /**
   * `quick` leaves out what needs fits of its own: the ranking, and whether lags shorten as the flow grows. Default 'full', some 5 to 10 s of a core for each
   * run.
   */
  readonly depth?: GaugesDepth;
  readonly onProgress?: (progress: TaskProgress) => void;
}

/**
 * Which gauge to read for each run of a creek, and what else than visits tells of it: the ranking of all candidates, how to read a combined one, the temporary loggers, what
 * distance and flow say of each lag, and the staffs. Here and now on one core; `sightstage chart` does the same on all of them.
 *
 * @param fitted from `fitCreek`. @param chart of the same fits, from `chartFitted`.
 * @returns what gauges.json holds: frozen plain data without NaN, the same for the same fits and seed. What can't be said is null, beside it why.
 * @example const fitted = fitCreek(input);
 * creekGauges(fitted, chartFitted(fitted)).runs[0].ranking?.choice.sentence
 */
export function creekGauges(
  fitted: FittedCreek,
  chart: CreekChart,
  { depth = 'full', onProgress }: CreekGaugesOptions = {},
): CreekGauges {
  const plans = [planRankings(fitted, { depth }), planGauges(fitted, chart, { depth })];
  const results = runTasks(plans, () => gaugesCraft, { onProgress }).flat();
  return finishGauges(fitted, chart, results);
}

import type { CreekGauges } from '../../chart/gauges/types.js';
import type { CreekInput } from '../../read/types.js';
import { isUsableGrade } from '../../judge/grade.js';
import { EXIT } from './exitCodes.js';
import { fitFolder } from './fitFolder.js';
import { gaugesInStages, judgeQuickly } from './judgeInStages.js';
import type { FolderOptions } from './openCreek.js';

/** What was compared. */
export type GaugesFolderResult =
  | { readonly kind: 'bad-input'; readonly exitCode: 1; readonly input: CreekInput }
  | { readonly kind: 'gauges'; readonly exitCode: 0 | 3; readonly input: CreekInput; readonly gauges: CreekGauges };

/**
 * Which gauge to read for each run of a creek folder, and what its loggers, lags and staffs tell, without writing anything: read, fit, compare. What the command
 * `sightstage gauges` does, as one call.
 * @param folder a creek folder
 * @returns what gauges.json would hold, or the input with its fatal issues
 * @throws WrongUse and RangeError as `chartFolder`
 * @example const result = await gaugesFolder('my-creek', { leadHours: 2 })
 */
export async function gaugesFolder(folder: string, options: FolderOptions = {}): Promise<GaugesFolderResult> {
  const { input, fitted, stages } = await fitFolder(folder, options);
  if (fitted === undefined) return { kind: 'bad-input', exitCode: EXIT.badInput, input };
  const { chart } = await judgeQuickly(fitted, stages);
  const gauges = await gaugesInStages(fitted, chart, stages);
  const usable = chart.runs.some((run) => run.gauges.some(({ trust }) => isUsableGrade(trust.grade)));
  return { kind: 'gauges', exitCode: usable ? EXIT.fine : EXIT.nothingUsable, input, gauges };
}

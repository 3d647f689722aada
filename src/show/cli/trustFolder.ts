import type { TrustFile } from '../../chart/types.js';
import type { CreekInput } from '../../read/types.js';
import { isUsableGrade } from '../../judge/grade.js';
import { EXIT } from './exitCodes.js';
import { fitFolder } from './fitFolder.js';
import { judgeInStages, judgeQuickly } from './judgeInStages.js';
import type { FolderOptions } from './openCreek.js';

/** What was judged. */
export type TrustFolderResult =
  | { readonly kind: 'bad-input'; readonly exitCode: 1; readonly input: CreekInput }
  | { readonly kind: 'trust'; readonly exitCode: 0 | 3; readonly input: CreekInput; readonly trust: TrustFile };

/**
 * How far to trust the chart of a creek folder, without writing anything: read, fit, judge. What the command `sightstage trust` does, as one call.
 * @param folder a creek folder
 * @returns what trust.json would hold, or the input with its fatal issues
 * @throws WrongUse and RangeError as `chartFolder`
 * @example const result = await trustFolder('my-creek', { depth: 'quick' })
 */
export async function trustFolder(folder: string, options: FolderOptions = {}): Promise<TrustFolderResult> {
  const { input, fitted, stages } = await fitFolder(folder, options);
  if (fitted === undefined) return { kind: 'bad-input', exitCode: EXIT.badInput, input };
  const { trust } = await judgeInStages(fitted, await judgeQuickly(fitted, stages), stages);
  const usable = trust.runs.some((run) => run.gauges.some(({ grade }) => isUsableGrade(grade)));
  return { kind: 'trust', exitCode: usable ? EXIT.fine : EXIT.nothingUsable, input, trust };
}

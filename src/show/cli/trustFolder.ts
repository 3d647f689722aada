import { chartFitted } from '../../chart/chartCreek.js';
import type { TrustFile } from '../../chart/types.js';
import type { CreekInput } from '../../read/types.js';
import { isUsable } from '../text/gaugesBestFirst.js';
import { EXIT } from './exitCodes.js';
import { fitOnCores } from './fitOnCores.js';
import { judgeInStages } from './judgeInStages.js';
import { openCreek, type FolderOptions } from './openCreek.js';

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
export async function trustFolder(
  folder: string,
  { depth = 'full', cores, signal, onProgress, ...options }: FolderOptions = {},
): Promise<TrustFolderResult> {
  const { usable: readable, input } = openCreek(folder, options);
  if (!readable) return { kind: 'bad-input', exitCode: EXIT.badInput, input };
  const fitted = await fitOnCores(input, {
    ...options,
    cores,
    signal,
    onProgress: (at) => onProgress?.({ ...at, stage: 'fit' }),
  });
  const { trust } = await judgeInStages(fitted, chartFitted(fitted), {
    depth,
    cores,
    signal,
    onProgress: (at) => onProgress?.({ ...at, stage: 'judge' }),
  });
  const usable = trust.runs.some((run) => run.gauges.some(({ grade }) => isUsable(grade)));
  return { kind: 'trust', exitCode: usable ? EXIT.fine : EXIT.nothingUsable, input, trust };
}

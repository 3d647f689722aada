import type { FittedCreek } from '../../chart/fitCreek.js';
import type { CreekInput } from '../../read/types.js';
import { fitOnCores } from './fitOnCores.js';
import type { StagesOptions } from './judgeInStages.js';
import { openCreek, type FolderOptions } from './openCreek.js';
import type { Progress } from './showProgress.js';

/** A folder read and fitted, with what its judging is told; `fitted` is undefined where nothing can be made of the input. */
export interface FittedFolder {
  readonly input: CreekInput;
  readonly fitted: FittedCreek | undefined;
  readonly stages: StagesOptions;
}

/**
 * Reads a creek folder and fits it: what all commands that judge do first.
 *
 * @param options.beforeFit done where the folder can be fitted, before the long part.
 * @throws as `openCreek` and `fitCreek`, and what `beforeFit` throws
 */
export async function fitFolder(
  folder: string,
  { depth = 'full', cores, signal, onProgress, ...options }: FolderOptions,
  { beforeFit }: { beforeFit?: (input: CreekInput) => Promise<void> } = {},
): Promise<FittedFolder> {
  const { usable, input } = openCreek(folder, options);
  const at = (stage: 'fit' | 'judge') => ({
    cores,
    signal,
    onProgress: (progress: Progress) => onProgress?.({ ...progress, stage }),
  });
  const stages = { depth, ...at('judge') };
  if (!usable) return { input, fitted: undefined, stages };
  await beforeFit?.(input);
  return { input, fitted: await fitOnCores(input, { ...options, ...at('fit') }), stages };
}

import { VERSION } from '../../src/series/version.js';
import { roundAll } from './roundAll.js';
import type { FolderValidation } from './validateFolder.js';

/**
 * The numbers of a validation for a file: errors and scores only, nothing of the records or of the truth, with the command that makes
 * them and the digests of the files they were made from.
 */
export function validationSummary(
  { files, gauges }: FolderValidation,
  { command, seed, draws }: { command: string; seed: number; draws: number },
): unknown {
  return roundAll({ kind: 'validation', command, version: VERSION, seed, draws, files, gauges });
}

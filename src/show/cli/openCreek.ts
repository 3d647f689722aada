import { refuseUnknown } from '../../series/knownIds.js';
import type { Link } from '../../fit/types.js';
import type { CreekInput } from '../../read/types.js';
import { loadCreekFolder } from '../creekFolder.js';
import { plainText } from '../text/plainText.js';
import { WrongUse } from './exitCodes.js';
import type { Depth } from './judgeInStages.js';
import type { StagedProgress } from './showProgress.js';

/** What a command that fits a folder can be told. */
export interface FolderOptions {
  readonly lagHours?: { readonly min: number; readonly max: number };
  readonly storageHours?: { readonly min: number; readonly max: number };
  readonly leadHours?: number;
  readonly seed?: number;
  readonly link?: Link;
  readonly runs?: readonly string[];
  readonly gauges?: readonly string[];
  /** `quick`: floods left out by importance weights, and nothing that needs fits of its own. Default 'full'. */
  readonly depth?: Depth;
  /** Processor cores to judge on; default all. Changes nothing in the outputs. */
  readonly cores?: number;
  /** Once it is aborted, the work on other cores is stopped and the call rejects with its reason; what was written before stays. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: StagedProgress) => void;
}

/**
 * Reads a creek folder that is to be fitted.
 * @returns the input, and whether anything can be made of it
 * @throws WrongUse for a run or gauge that creek.json does not have and for a lead longer than every lag
 */
export function openCreek(
  folder: string,
  { runs, gauges, leadHours, lagHours }: Pick<FolderOptions, 'runs' | 'gauges' | 'leadHours' | 'lagHours'>,
): { readonly usable: boolean; readonly input: CreekInput } {
  const input = loadCreekFolder(folder);
  const { creek } = input;
  if (creek === undefined || input.issues.some(({ severity }) => severity === 'fatal')) return { usable: false, input };
  wrongUse(() => refuseUnknown({ runs, gauges }, creek));
  refuseLateLead(leadHours, lagHours ?? creek.lagHours);
  return { usable: true, input };
}

/** What the library refuses is wrong use of the command. */
function wrongUse(check: () => void): void {
  try {
    check();
  } catch (error) {
    throw error instanceof RangeError ? new WrongUse(plainText(error.message)) : error;
  }
}

/** Only readings that exist when the decision is made may enter, so a lead beyond the largest lag leaves nothing to fit. */
function refuseLateLead(leadHours: number | undefined, bounds: { readonly max: number } | undefined): void {
  if (leadHours !== undefined && bounds !== undefined && leadHours > bounds.max)
    throw new WrongUse(`a lead of ${leadHours} h is longer than the largest lag looked through, ${bounds.max} h`);
}

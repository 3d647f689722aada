import { refuseUnknown } from '../../series/knownIds.js';
import type { ChartOptions } from '../../chart/fitCreek.js';
import type { CreekInput } from '../../read/types.js';
import { loadCreekFolder } from '../creekFolder.js';
import { plainText } from '../text/plainText.js';
import { WrongUse } from './exitCodes.js';

/**
 * Reads a creek folder that is to be fitted.
 * @returns the input, and whether anything can be made of it
 * @throws WrongUse for a run or gauge that creek.json does not have and for a lead longer than every lag
 */
export function openCreek(
  folder: string,
  { runs, gauges, leadHours, lagHours }: Pick<ChartOptions, 'runs' | 'gauges' | 'leadHours' | 'lagHours'>,
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

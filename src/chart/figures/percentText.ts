import { range, share, type Ends } from '../../series/format.js';

export { lnShare as lnPercentText, share as percentText, shareWithI80 as measuredText } from '../../series/format.js';

/** Two shares as `3 to 12`, in percent without the sign. */
export function percentRange(ends: Ends): string {
  return range(ends, (end) => share(end).replace(' %', ''));
}

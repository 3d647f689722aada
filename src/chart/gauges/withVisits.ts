import { plain, roundedHours } from '../../series/format.js';
import type { LoggerFit } from '../../fit/logger/types.js';
import type { Relation } from '../fitCreek.js';
import { endsOf, gridWithout } from '../gridWithout.js';
import { lagSummary, storageSummary } from '../lagSummary.js';
import type { Estimate, Interval } from '../types.js';
import type { LoggerGauge } from './types.js';

/**
 * The visits' lag and storage without and with what the run's loggers say; the chart's are with. Where the visits alone and the logger
 * alone exclude each other (their 95 % intervals do not meet), the sentence says so.
 *
 * @param options.fit of the logger itself.
 * @param options.shiftHours by how much its lag is longer than that at the put-in, because it stood further down.
 * @returns null where no logger had a say, or the visits could not be fitted.
 */
export function withVisits(
  { fits, gridPrior }: Relation,
  { fit, shiftHours }: { fit: LoggerFit; shiftHours: number },
): LoggerGauge['withVisits'] {
  if (gridPrior === undefined || !(fits.effective.draws.count > 0)) return null;
  const alone = gridWithout(fits.effective, gridPrior);
  const lagWith = endsOf(lagSummary(fits.effective));
  const storageWith = endsOf(storageSummary(fits.effective));
  // Where a plan asks for older readings than the logger's lag, the visits' lag stands at that bound and can't agree with anything.
  const { leadHours } = fits.effective;
  const [from, to] = fit.lag.i95.map((end) => (end === null ? null : end - shiftHours));
  const bound = (to ?? Infinity) < leadHours;
  const agree = bound || (meet(alone.lag.i95, [from, to]) && meet(alone.storage.i95, fit.storage.i95));
  return {
    lagAlone: alone.lag,
    lagWith,
    storageAlone: alone.storage,
    storageWith,
    sentence:
      `By the visits alone the lag is ${inWords(alone.lag)} and the storage ${inWords(alone.storage)};` +
      ` with the logger the lag is ${inWords(lagWith)} and the storage ${inWords(storageWith)}.` +
      (bound
        ? ' A plan takes no reading from later than ' +
          `${leadHours === 0 ? 'the moment' : `${plain(leadHours, 1)} h before`}, and the logger's own lag ` +
          "is shorter than that: the two can't be compared."
        : agree
          ? ''
          : ` The logger by itself says otherwise: ${
              // The inflow of a slow gauge's reservoir multiplies the rounding of its readings, and no season of visits does.
              alone.storage.i95[1] !== null && alone.storage.i95[1] < 0
                ? 'by a gauge that is slower than the creek it tells lag and storage poorly.'
                : 'look at its clock and zone, at whether it was moved, and at other seasons.'
            }`),
  };
}

/** `3 h (2 to 4.5)`, `3 h` where the interval is no wider than the rounding. */
function inWords({ median, i80: [low, high] }: Estimate): string {
  const hours = (h: number): string => plain(roundedHours(h), 1);
  return low === null || high === null || hours(low) === hours(high)
    ? `${hours(median)} h`
    : `${hours(median)} h (${hours(low)} to ${hours(high)})`;
}

/** Have two intervals a point in common? An open end reaches everywhere. */
function meet([a, b]: Interval, [c, d]: Interval): boolean {
  return (a ?? -Infinity) <= (d ?? Infinity) && (c ?? -Infinity) <= (b ?? Infinity);
}

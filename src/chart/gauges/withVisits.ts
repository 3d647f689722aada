import type { Relation } from '../fitCreek.js';
import { gridWithout } from '../gridWithout.js';
import { plain, roundedHours } from '../numbers.js';
import type { Estimate, GaugeChart } from '../types.js';
import type { LoggerGauge } from './types.js';

/**
 * The visits' lag and storage without and with what the run's loggers say; the chart's are with.
 * @returns null where no logger had a say, or the visits could not be fitted.
 */
export function withVisits({ fits, gridPrior }: Relation, { chart }: { chart: GaugeChart }): LoggerGauge['withVisits'] {
  if (gridPrior === undefined || chart.effective === undefined) return null;
  const alone = gridWithout(fits.effective, gridPrior);
  const lagWith = estimateOf(chart.effective.lag);
  const storageWith = estimateOf(chart.storage);
  return Object.freeze({
    lagAlone: alone.lag,
    lagWith,
    storageAlone: alone.storage,
    storageWith,
    sentence:
      `By the visits alone the lag is ${inWords(alone.lag)} and the storage ${inWords(alone.storage)};` +
      ` with the logger the lag is ${inWords(lagWith)} and the storage ${inWords(storageWith)}.` +
      (outside(lagWith.median, alone.lag) || outside(storageWith.median, alone.storage)
        ? " The visits by themselves say otherwise: look at the logger's clock and zone, and at whether it was moved."
        : ''),
  });
}

function estimateOf({ medianHours, i80, i95 }: { medianHours: number } & Pick<Estimate, 'i80' | 'i95'>): Estimate {
  return Object.freeze({ median: medianHours, i80, i95 });
}

/** `3 h (2 to 4.5)`. */
function inWords({ median, i80: [low, high] }: Estimate): string {
  const hours = (h: number): string => plain(roundedHours(h), 1);
  return `${hours(median)} h${low === null || high === null ? '' : ` (${hours(low)} to ${hours(high)})`}`;
}

function outside(value: number, { i95: [low, high] }: Estimate): boolean {
  return (low !== null && value < low) || (high !== null && value > high);
}

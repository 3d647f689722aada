import type { Estimate, GaugeChart } from '../types.js';
import type { Figure } from './figure.js';
import { posteriorBars } from './posteriorBars.js';
import { valueText } from './valueText.js';

/**
 * Posterior of the lag over both signs, with what each sign means written on its side.
 * @returns undefined where there is no posterior (nothing was fitted).
 */
export function lagFigure({ gauge, lag }: GaugeChart): Figure | undefined {
  if (lag.hours.length === 0) return undefined;
  return {
    kind: 'figure',
    title: `Lag of ${gauge.name}`,
    alt: `Posterior of the lag between ${gauge.name} and the creek: ${lag.sentence.replace(/\.$/, '')}. ${intervalsAlt(lag)}`,
    ...posteriorBars(lag, { xTitle: 'lag, h', negative: 'creek leads', positive: 'gauge leads' }),
  };
}

/**
 * Posterior of the storage, with what each sign means written on its side.
 * @returns undefined where there is no posterior.
 */
export function storageFigure({ gauge, storage }: GaugeChart): Figure | undefined {
  if (storage.hours.length === 0) return undefined;
  return {
    kind: 'figure',
    title: `Storage between ${gauge.name} and the creek`,
    alt: `Posterior of the storage between ${gauge.name} and the creek. ${intervalsAlt(storage)}`,
    ...posteriorBars(storage, {
      xTitle: 'storage, h',
      negative: 'gauge is slower',
      positive: 'creek is slower',
    }),
  };
}

function intervalsAlt({ median, i80, i95 }: Estimate): string {
  const end = (value: number | null) => (value === null ? 'open' : valueText(value, { digits: 2 }));
  return `Median ${valueText(median, { digits: 2 })} h, 80 % between ${end(i80[0])} and ${end(i80[1])} h, 95 % between ${end(i95[0])} and ${end(i95[1])} h.`;
}

/** One full fit: 200 visits × 4 features × 145 lags × 12 storages, on one thread. */
import { alignVisits } from '../src/align/alignVisits.js';
import { fitLevels } from '../src/fit/fitLevels.js';
import { inventedCreek } from './inventedCreek.js';

const LAGS = Array.from({ length: 145 }, (_, i) => -24 + i / 2);
const STORAGES = [-24, -16, -10, -6, -3, 0, 3, 6, 10, 16, 24, 36];

/** Seconds for the grid of readings and for the fit of all its modes, and the lag found (3 h is true). */
export function timeFit(): { alignSeconds: number; fitSeconds: number; medianLagHours: number } {
  const input = inventedCreek(200);
  const from = performance.now();
  const aligned = alignVisits(input, { lagsHours: LAGS, storagesHours: STORAGES });
  const between = performance.now();
  const fits = fitLevels(aligned, { seed: 1 });
  const to = performance.now();
  const lags = Float64Array.from(fits.effective.draws.lagHours).sort();
  return {
    alignSeconds: (between - from) / 1000,
    fitSeconds: (to - between) / 1000,
    medianLagHours: lags[Math.floor(lags.length / 2)]!,
  };
}

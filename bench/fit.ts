/** One full fit: 200 visits × 4 features × 145 lags × 12 storages, on one thread. */
import { alignVisits } from '../src/align/alignVisits.js';
import { fitLevels } from '../src/fit/fitLevels.js';
import { cpuSeconds } from './inChild.js';
import { inventedCreek } from './inventedCreek.js';

const LAGS = Array.from({ length: 145 }, (_, i) => -24 + i / 2);
const STORAGES = [-24, -16, -10, -6, -3, 0, 3, 6, 10, 16, 24, 36];

/** Processor seconds for the grid of readings and for the fit of all its modes, and the lag found (3 h is true). */
export function timeFit(): { alignSeconds: number; fitSeconds: number; medianLagHours: number } {
  const input = inventedCreek(200);
  const align = cpuSeconds(() => alignVisits(input, { lagsHours: LAGS, storagesHours: STORAGES }));
  const fit = cpuSeconds(() => fitLevels(align.result, { seed: 1 }));
  const lags = Float64Array.from(fit.result.effective.draws.lagHours).sort();
  return {
    alignSeconds: align.seconds,
    fitSeconds: fit.seconds,
    medianLagHours: lags[Math.floor(lags.length / 2)]!,
  };
}

import { loggerDoubt } from './loggerDoubt.js';
import type { LoggerFit } from './types.js';

/** Share of the prior that knows nothing of the logger: five weeks are not every season. */
const OPEN_SHARE = 0.1;

/**
 * What a logger says of lag and storage, as a prior for the visits' fit: ln of 0.9 × its posterior + 0.1 × a flat one, so that visits of
 * other seasons can still say otherwise. Grid points of the visits' fit that lie between the logger's take the nearest one's share.
 *
 * The visits' lag is told at the put-in. A logger that stood `shiftHours` of wave travel down the run has a lag longer by that.
 *
 * @param options.lagsHours, options.storagesHours the grid of the visits (an `Aligned` fits).
 * @param options.shiftHours default 0; see `waveHours`.
 * @returns ln prior, storage-major, its exponentials sum to 1; flat for a fit that did not converge or is in doubt (see `loggerDoubt`).
 * @example fitLevels(aligned, { gridPrior: loggerPrior(fit, aligned) })
 */
export function loggerPrior(
  fit: LoggerFit,
  {
    lagsHours,
    storagesHours,
    shiftHours = 0,
  }: {
    readonly lagsHours: ArrayLike<number>;
    readonly storagesHours: ArrayLike<number>;
    readonly shiftHours?: number;
  },
): Float64Array {
  const nL = lagsHours.length;
  const G = nL * storagesHours.length;
  const from = fit.grid;
  const raw = Float64Array.from({ length: G }, (_, g) => {
    const l = nearest(from.lagsHours, lagsHours[g % nL] + shiftHours);
    const k = nearest(from.storagesHours, storagesHours[Math.floor(g / nL)]);
    return from.probability[k * from.lagsHours.length + l];
  });
  const sum = loggerDoubt(fit) === null ? raw.reduce((a, b) => a + b, 0) : 0;
  return raw.map((p) => Math.log((sum > 0 ? ((1 - OPEN_SHARE) * p) / sum : (1 - OPEN_SHARE) / G) + OPEN_SHARE / G));
}

function nearest(grid: Float64Array, value: number): number {
  let best = 0;
  for (let i = 1; i < grid.length; i++) if (Math.abs(grid[i] - value) < Math.abs(grid[best] - value)) best = i;
  return best;
}

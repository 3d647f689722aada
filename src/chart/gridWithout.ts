import type { LevelFit } from '../fit/types.js';
import { lagSummary, storageSummary } from './lagSummary.js';
import type { Estimate } from '../kernel/estimate.js';

/** Lag and storage by the visits alone. */
export interface WithoutPrior {
  readonly lag: Estimate;
  readonly storage: Estimate;
  /** Posterior probability of each grid point (storage-major, sums to 1; all 0 without a fit). */
  readonly probability: Float64Array;
}

/**
 * What the visits say of lag and storage without the loggers, from a fit that was made with them: the evidence of each grid point is
 * divided by its prior, so no second fit is needed. Points that either view holds likely were all fitted.
 *
 * @param fit made with the prior. @param gridPrior ln prior of each grid point (`gridPrior` of the relation).
 * @returns estimates as `lagSummary` and `storageSummary` make them; NaN medians for a fit without draws.
 * @throws RangeError where the prior is not one number a grid point.
 * @example gridWithout(relation.fits.effective, relation.gridPrior).lag.median
 */
export function gridWithout(fit: LevelFit, gridPrior: Float64Array): WithoutPrior {
  const { logEvidence } = fit.grid;
  if (gridPrior.length !== logEvidence.length)
    throw new RangeError(
      `gridWithout: gridPrior must hold one number for each of ${logEvidence.length} grid points, got ${gridPrior.length}`,
    );
  const alone = logEvidence.map((l, g) => (l === l ? l - gridPrior[g] : -Infinity));
  const top = alone.reduce((a, b) => Math.max(a, b), -Infinity);
  const raw = alone.map((l) => (l > -Infinity ? Math.exp(l - top) : 0));
  const sum = raw.reduce((a, b) => a + b, 0);
  const probability = raw.map((p) => (sum > 0 ? p / sum : 0));
  const of = { ...fit, grid: { ...fit.grid, probability } };
  return { lag: endsOf(lagSummary(of)), storage: endsOf(storageSummary(of)), probability };
}

/** An estimate without what else is known of its posterior. */
export function endsOf({ median, i80, i95 }: Estimate): Estimate {
  return { median, i80, i95 };
}

import type { Aligned } from '../align/types.js';
import { lagQuantile } from '../fit/centralReading.js';
import type { LevelFit } from '../fit/types.js';
import { quantile } from '../kernel/quantile.js';
import { VERDICT } from '../series/visits.js';
import { gridPoint } from './gridPoint.js';

/**
 * What the uncertainty of the lag is worth in classes: half the width of its 80 % interval × the usual |dx/dt| at the visits, over the
 * usual width of an inner verdict class. 0.5: being unsure of the lag moves the reading by half a class.
 *
 * Usual: the median over visits at the fit's own reading, and over draws and inner classes.
 *
 * @returns NaN where there are fewer than 3 classes (no inner class), no draws or no slope.
 */
export function lagWorthInClasses(fit: LevelFit, aligned: Aligned): number {
  const verdict = fit.features.find((f) => f.id === VERDICT);
  const { draws } = fit;
  const inner = (verdict?.classes.length ?? 0) - 1;
  if (verdict === undefined || draws.count === 0 || inner < 2) return NaN;
  const lag = (p: number) => lagQuantile(fit.grid, p);
  const point = gridPoint(aligned, fit.reading);
  const n = aligned.visitIds.length;
  const slopes = aligned.slope
    .subarray(point * n, (point + 1) * n)
    .filter((v) => v === v)
    .map(Math.abs);
  const widths = new Float64Array(draws.count * (inner - 1));
  for (let d = 0; d < draws.count; d++)
    for (let k = 1; k < inner; k++)
      widths[d * (inner - 1) + k - 1] = verdict.edges[d * inner + k] - verdict.edges[d * inner + k - 1];
  return (((lag(0.9) - lag(0.1)) / 2) * quantile(slopes, 0.5)) / quantile(widths, 0.5);
}

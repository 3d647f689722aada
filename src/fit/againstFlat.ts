/**
 * ln of a prior over the grid times the number of its points: 0 everywhere where it is flat, so that evidences compare.
 * @throws RangeError where it is not one finite number a grid point; the message names the caller.
 */
export function againstFlat(
  gridPrior: Float64Array,
  { points, caller }: { points: number; caller: string },
): Float64Array {
  if (gridPrior.length !== points || !gridPrior.every(Number.isFinite))
    throw new RangeError(
      `${caller}: gridPrior must hold one finite number for each of ${points} grid points, got ${gridPrior.length}`,
    );
  const top = gridPrior.reduce((a, b) => Math.max(a, b));
  const mean = gridPrior.reduce((sum, l) => sum + Math.exp(l - top), 0) / points;
  return gridPrior.map((l) => l - top - Math.log(mean));
}

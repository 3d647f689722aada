import type { Aligned } from '../../align/types.js';

/**
 * The visits on the lags of whole hours only: enough to compare gauges by, and half the work. All lags stay where whole ones leave none at or beyond the lead.
 *
 * @param gridPrior goes with it, if given (storage-major over the grid of `aligned`).
 * @example coarseLags(aligned, { leadHours: 2 }).aligned.lagsHours // -12, -11, …
 */
export function coarseLags(
  aligned: Aligned,
  { leadHours, gridPrior }: { leadHours: number; gridPrior?: Float64Array | undefined },
): { readonly aligned: Aligned; readonly gridPrior?: Float64Array } {
  const lags = aligned.lagsHours;
  const kept = Array.from(lags.keys()).filter((l) => Number.isInteger(lags[l]));
  const last = kept[kept.length - 1];
  if (kept.length < 2 || kept.length === lags.length || !(lags[last] >= leadHours))
    return { aligned, ...(gridPrior !== undefined && { gridPrior }) };
  const G = lags.length * aligned.storagesHours.length;
  const rows = (values: Float64Array): Float64Array => {
    const width = values.length / G;
    const out = new Float64Array(kept.length * aligned.storagesHours.length * width);
    let at = 0;
    for (let k = 0; k < aligned.storagesHours.length; k++)
      for (const l of kept) {
        const from = (k * lags.length + l) * width;
        out.set(values.subarray(from, from + width), at);
        at += width;
      }
    return out;
  };
  return {
    aligned: Object.freeze({
      ...aligned,
      lagsHours: Float64Array.from(kept, (l) => lags[l]),
      x: rows(aligned.x),
      slope: rows(aligned.slope),
      shift: rows(aligned.shift),
    }),
    ...(gridPrior !== undefined && { gridPrior: rows(gridPrior) }),
  };
}

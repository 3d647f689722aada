import type { Aligned } from '../align/types.js';
import type { LevelFit } from '../fit/types.js';
import { cumulativeOdds } from '../judge/cumulativeOdds.js';
import { quantileSorted } from '../kernel/quantile.js';
import { VERDICT } from '../series/visits.js';
import { seenRange } from './seenRange.js';
import type { OddsTable } from './types.js';

/** The table reaches past the lowest and highest visit by this share of their distance in x, and by at least `LEAST_PAD`. */
const PAD_SHARE = 0.15;
const LEAST_PAD = 0.15;

/** Bands are quantiles over at most this many draws, evenly picked: 500 place an 80 % bound to about 2 % of its distribution. */
const BAND_DRAWS = 500;

/**
 * Odds of each verdict class over gauge values evenly spaced in x = ln(reading - offset), from somewhat below the lowest to
 * somewhat above the highest visit. For each draw P(class <= k) = E F((θ_k - x - ε)/s) (see `cumulativeOdds`), averaged
 * over draws, so parameters, mismatch and blur are all integrated out. For the average observer (bias 0), on steady water.
 *
 * `low80` and `high80` (V × K) keep the parameters' part apart: the 80 % band over draws of the odds of each class; so does
 * `atLeast[k]`, median and 80 % band of P(class >= k + 1).
 *
 * @param fit draws (D > 0) of a fit with a verdict.
 * @param aligned the visits of the fit.
 * @param options.reading lag and storage (hours) at which the visits' gauge values are taken for the table's reach.
 * @param options.values number of gauge values V; default 121, at least 2.
 * @returns V × K odds; each row sums to 1.
 * @throws RangeError without draws, without a verdict feature, without a matched visit, or for fewer than 2 values.
 */
export function oddsTable(
  fit: LevelFit,
  aligned: Aligned,
  { reading, values = 121 }: { reading: { readonly lagHours: number; readonly storageHours: number }; values?: number },
): OddsTable {
  const verdict = fit.features.find((f) => f.id === VERDICT);
  const D = fit.draws.count;
  if (!(D > 0)) throw new RangeError(`oddsTable: the fit has no draws (status ${fit.status})`);
  if (verdict === undefined) throw new RangeError('oddsTable: the fit has no verdict to give odds of');
  if (!(values >= 2)) throw new RangeError(`oddsTable: values must be at least 2, got ${values}`);
  const seen = seenRange(aligned, reading);
  if (seen === null) throw new RangeError('oddsTable: no visit has a reading at this lag and storage');
  const pad = Math.max(PAD_SHARE * (seen.high - seen.low), LEAST_PAD);
  const from = seen.low - pad;
  const step = (seen.high - seen.low + 2 * pad) / (values - 1);
  const V = values;
  const K = verdict.classes.length;
  const stride = Math.max(1, Math.ceil(D / BAND_DRAWS));
  const picked = Math.ceil(D / stride);
  const mean = new Float64Array(V * (K - 1));
  // Cumulative odds of the picked draws, one run of `picked` values per (v, k).
  const kept = new Float64Array(V * (K - 1) * picked);
  const draw = { mismatch: 0, blur: 0, link: fit.link };
  for (let d = 0; d < D; d++) {
    draw.mismatch = fit.draws.mismatch[d];
    draw.blur = verdict.blur[d];
    const keep = d % stride === 0 ? d / stride : -1;
    for (let v = 0; v < V; v++) {
      const x = from + v * step;
      for (let k = 0; k < K - 1; k++) {
        const upTo = cumulativeOdds(verdict.edges[d * (K - 1) + k] - x, draw);
        const cell = v * (K - 1) + k;
        mean[cell] += upTo / D;
        if (keep >= 0) kept[cell * picked + keep] = upTo;
      }
    }
  }
  const eachClass = classBands(kept, { V, K, picked });
  for (let cell = 0; cell < V * (K - 1); cell++) kept.subarray(cell * picked, (cell + 1) * picked).sort();
  const band = (k: number, p: number) =>
    Object.freeze(
      Array.from({ length: V }, (_, v) => {
        const cell = v * (K - 1) + k;
        return 1 - quantileSorted(kept.subarray(cell * picked, (cell + 1) * picked), 1 - p);
      }),
    );
  return Object.freeze({
    classes: verdict.classes,
    gaugeValues: Object.freeze(Array.from({ length: V }, (_, v) => fit.offset + Math.exp(from + v * step))),
    probability: Object.freeze(Array.from({ length: V }, (_, v) => rowOfOdds(mean, v, K))),
    ...eachClass,
    atLeast: Object.freeze(
      Array.from({ length: K - 1 }, (_, k) =>
        Object.freeze({ median: band(k, 0.5), low80: band(k, 0.1), high80: band(k, 0.9) }),
      ),
    ),
  });
}

/** 80 % band of the odds of each class over draws; `kept` holds P(class <= k) of every draw, runs of `picked` for each (v, k). */
function classBands(
  kept: Float64Array,
  { V, K, picked }: { V: number; K: number; picked: number },
): Pick<OddsTable, 'low80' | 'high80'> {
  const odds = new Float64Array(picked);
  const upTo = (v: number, k: number, d: number) =>
    k < 0 ? 0 : k === K - 1 ? 1 : kept[(v * (K - 1) + k) * picked + d];
  const bands = Array.from({ length: V }, (_, v) =>
    Array.from({ length: K }, (_, k) => {
      for (let d = 0; d < picked; d++) odds[d] = Math.max(0, upTo(v, k, d) - upTo(v, k - 1, d));
      odds.sort();
      return [quantileSorted(odds, 0.1), quantileSorted(odds, 0.9)] as const;
    }),
  );
  const side = (end: 0 | 1) => Object.freeze(bands.map((row) => Object.freeze(row.map((ends) => ends[end]))));
  return { low80: side(0), high80: side(1) };
}

function rowOfOdds(cumulative: Float64Array, v: number, K: number): readonly number[] {
  const row: number[] = [];
  let below = 0;
  for (let k = 0; k < K - 1; k++) {
    // The sum over draws can pass 1 by a rounding error; odds stay within 0 and 1.
    const upTo = Math.min(1, Math.max(below, cumulative[v * (K - 1) + k]));
    row.push(upTo - below);
    below = upTo;
  }
  row.push(1 - below);
  return Object.freeze(row);
}

import type { LevelFit } from '../fit/types.js';
import { VERDICT } from '../series/visits.js';
import { cumulativeOdds } from './cumulativeOdds.js';

/**
 * Odds of each class of a feature at a gauge value, as a chart states them: parameters, mismatch and blur integrated out, average
 * observer, steady water.
 *
 * @param value in the gauge's unit, above its offset.
 * @param options.feature default the verdict.
 * @returns K odds that sum to 1, lowest class first; none without draws or without such a feature.
 */
export function classOdds(
  { features, draws, link, offset }: Pick<LevelFit, 'features' | 'draws' | 'link' | 'offset'>,
  value: number,
  { feature = VERDICT }: { feature?: string } = {},
): readonly number[] {
  const own = features.find(({ id }) => id === feature);
  if (own === undefined || draws.count === 0) return [];
  const inner = own.classes.length - 1;
  const x = Math.log(value - offset);
  const upTo = new Float64Array(inner + 1);
  upTo[inner] = 1;
  for (let d = 0; d < draws.count; d++) {
    const draw = { mismatch: draws.mismatch[d], blur: own.blur[d], link };
    for (let k = 0; k < inner; k++) upTo[k] += cumulativeOdds(own.edges[d * inner + k] - x, draw) / draws.count;
  }
  return Array.from(upTo, (p, k) => Math.max(0, p - (k > 0 ? upTo[k - 1] : 0)));
}

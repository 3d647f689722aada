/** The Brier score of odds of one event and its parts; score = reliability - resolution + uncertainty. */
export interface BrierParts {
  readonly cases: number;
  readonly score: number;
  readonly reliability: number;
  readonly resolution: number;
  readonly uncertainty: number;
}

/**
 * Brier score, the mean of (p - o)², and its parts over the distinct values of p: reliability Σ n_i (p_i - ō_i)²/n, resolution Σ n_i (ō_i -
 * ō)²/n, uncertainty ō(1 - ō). Source: A. H. Murphy, "A new vector partition of the probability score", J. Appl. Meteor. 12 (1973) 595-600,
 * from memory. Odds are not binned, so the parts sum to the score exactly; with binned odds give the middle of the bin for each of its
 * cases.
 *
 * @param odds of the event (n), 0 to 1. @param happened 1 or 0 (n).
 * @returns NaN throughout without cases.
 * @example brierParts([0.5, 0.5], [1, 0]) // score 0.25, reliability 0, resolution 0, uncertainty 0.25
 */
export function brierParts(odds: ArrayLike<number>, happened: ArrayLike<number>): BrierParts {
  const n = odds.length;
  const groups = new Map<number, { count: number; happened: number }>();
  let [score, all] = [0, 0];
  for (let i = 0; i < n; i++) {
    const group = groups.get(odds[i]) ?? { count: 0, happened: 0 };
    group.count += 1;
    group.happened += happened[i];
    groups.set(odds[i], group);
    score += (odds[i] - happened[i]) ** 2 / n;
    all += happened[i] / n;
  }
  if (n === 0) return { cases: 0, score: NaN, reliability: NaN, resolution: NaN, uncertainty: NaN };
  let [reliability, resolution] = [0, 0];
  for (const [p, { count, happened: seen }] of groups) {
    reliability += (count * (p - seen / count) ** 2) / n;
    resolution += (count * (seen / count - all) ** 2) / n;
  }
  return { cases: n, score, reliability, resolution, uncertainty: all * (1 - all) };
}

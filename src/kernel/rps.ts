/**
 * Ranked probability score of one forecast over K ordered classes: Σ_{k<K} (P(class ≤ k) - [seen ≤ k])², 0 for a certain
 * and right forecast. Convention: the plain sum over the K - 1 cumulative terms (Wilks, Statistical Methods in the
 * Atmospheric Sciences; largest value K - 1), not divided by K - 1 as some software does; a skill score is the same in both.
 * @param probabilities K ≥ 1 probabilities, lowest class first
 * @param classIndex class that occurred, 0 … K - 1
 * @returns NaN where a probability is NaN
 * @throws RangeError for a class that isn't one of the K
 * @example rankedProbabilityScore([0.2, 0.5, 0.3], 0) // 0.73
 */
export function rankedProbabilityScore(probabilities: ArrayLike<number>, classIndex: number): number {
  const K = probabilities.length;
  if (!Number.isInteger(classIndex) || !(classIndex >= 0 && classIndex < K))
    throw new RangeError(
      `rankedProbabilityScore: classIndex must be a whole number from 0 to ${K - 1}, got ${classIndex}`,
    );
  let below = 0;
  let score = 0;
  for (let k = 0; k < K - 1; k++) {
    below += probabilities[k];
    const off = below - (classIndex <= k ? 1 : 0);
    score += off * off;
  }
  return score;
}

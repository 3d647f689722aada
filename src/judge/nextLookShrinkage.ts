/** What one look more is expected to do to one quantity. */
export interface ExpectedVariance {
  /** Variance over the draws, and what is expected to be left of it after the look. */
  readonly before: number;
  readonly after: number;
  /** Variance of the mean over the outcomes of the look: before = after + explained, exactly. */
  readonly explained: number;
  /** What `explained` comes to by chance with so many draws, even if the look told nothing. */
  readonly luck: number;
}

/**
 * Pre-posterior analysis of one look: each of its outcomes j re-weights the draws by its probability p_j under them,
 *
 *   P_j = mean_d p_dj,   w_dj = p_dj / Σ_d p_dj,   after = Σ_j P_j Var_j(θ),   explained = Σ_j P_j (mean_j θ - mean θ)²,
 *
 * so that by the law of total variance nothing can be expected to get wider. With D draws the weights of a look that tells nothing
 * still move the mean by luck; were the draws shuffled, `explained` would average S² Σ_j P_j (Σ_d w_dj² - 1/D), S² with D - 1.
 *
 * @param theta the quantity under each draw (D).
 * @param outcomes probability of each outcome under each draw, p[d·J + j]; sums to 1 over j.
 * @returns all 0 where theta does not vary or there are fewer than 2 draws.
 */
export function expectedVariance(theta: Float64Array, outcomes: Float64Array): ExpectedVariance {
  const D = theta.length;
  if (D < 2) return { before: 0, after: 0, explained: 0, luck: 0 };
  const J = outcomes.length / D;
  let mean = 0;
  for (let d = 0; d < D; d++) mean += theta[d] / D;
  let before = 0;
  for (let d = 0; d < D; d++) before += (theta[d] - mean) ** 2 / D;
  let after = 0;
  let explained = 0;
  let spread = 0;
  for (let j = 0; j < J; j++) {
    let total = 0;
    let squares = 0;
    let moved = 0;
    for (let d = 0; d < D; d++) {
      const p = outcomes[d * J + j];
      total += p;
      squares += p * p;
      moved += p * (theta[d] - mean);
    }
    if (!(total > 0)) continue;
    const centre = moved / total;
    let variance = 0;
    for (let d = 0; d < D; d++) variance += outcomes[d * J + j] * (theta[d] - mean - centre) ** 2;
    after += variance / D;
    explained += (total / D) * centre * centre;
    spread += (total / D) * (squares / (total * total) - 1 / D);
  }
  return { before, after, explained, luck: ((before * D) / (D - 1)) * spread };
}

/**
 * Expected shrinkage of the width of several quantities by one look, on geometric average: 1 - Π_e √(1 - gained_e/before_e)^(1/E), with
 * what the outcomes explain beyond luck as the gain. Widths of like shapes go as standard deviations, so 0.1 reads: 10 % narrower.
 *
 * @param thetas one array of D draws each.
 * @param options.outcomes see `expectedVariance`.
 * @param options.independent how many independent draws these are worth; default D.
 * @returns 0 to 1; 0 without quantities.
 */
export function expectedShrinkage(
  thetas: readonly Float64Array[],
  { outcomes, independent }: { outcomes: Float64Array; independent?: number },
): number {
  let sum = 0;
  for (const theta of thetas) {
    const { before, explained, luck } = expectedVariance(theta, outcomes);
    if (!(before > 0)) continue;
    const worth = independent !== undefined && independent > 0 ? Math.max(1, theta.length / independent) : 1;
    // What is left can be 0 where a look settles everything: the floor keeps its logarithm finite.
    sum += 0.5 * Math.log(Math.max(1e-12, 1 - Math.max(0, explained - luck * worth) / before));
  }
  return thetas.length === 0 ? 0 : 1 - Math.exp(sum / thetas.length);
}

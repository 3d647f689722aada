import { normalCdf } from '../../src/kernel/normal.js';

const BINS = 10;

export interface RankTest {
  /** Creeks in each tenth of the posterior, lowest first. */
  readonly bins: readonly number[];
  /** Pearson's χ² against even bins. */
  readonly chi2: number;
  /** P(χ² that large) at 9 degrees of freedom, were the ranks even. */
  readonly p: number;
}

/**
 * Simulation-based calibration: where the parameters come from the priors, the share of the posterior below the truth is even over creeks
 * (S. Talts et al., "Validating Bayesian inference algorithms with simulation-based calibration", arXiv:1804.06788, 2018).
 *
 * @param ranks one for each creek, from 0 to 1.
 */
export function rankTest(ranks: readonly number[]): RankTest {
  const bins = new Array<number>(BINS).fill(0);
  for (const r of ranks) bins[Math.min(BINS - 1, Math.floor(r * BINS))]++;
  const even = ranks.length / BINS;
  const chi2 = bins.reduce((sum, b) => sum + (b - even) ** 2 / even, 0);
  return { bins, chi2, p: chiSquareTail9(chi2) };
}

/** P(χ² > x) at 9 degrees of freedom: 2Φ(-√x) + √(2x/π)·e^(-x/2)·(1 + x/3 + x²/15 + x³/105), the closed form of odd degrees. */
export function chiSquareTail9(x: number): number {
  const polynomial = 1 + x / 3 + (x * x) / 15 + (x * x * x) / 105;
  return 2 * normalCdf(-Math.sqrt(x)) + Math.sqrt((2 * x) / Math.PI) * Math.exp(-x / 2) * polynomial;
}

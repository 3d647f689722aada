/**
 * `nominal`: only the same class agrees. `linear`, `quadratic`: 1 - d/(K - 1), 1 - (d/(K - 1))², d classes apart. Or agreement weights, K
 * × K.
 */
export type KappaWeights = 'nominal' | 'linear' | 'quadratic' | readonly (readonly number[])[];

/** Agreement of two observers beyond chance. */
export interface WeightedKappa {
  readonly kind: 'weighted-kappa';
  /** 1 perfect, 0 what chance gives; null without counts or where chance alone agrees fully. */
  readonly kappa: number | null;
  /** Large-sample variance; null with kappa. */
  readonly variance: number | null;
  readonly observedAgreement: number;
  readonly chanceAgreement: number;
  readonly n: number;
}

/**
 * Cohen's weighted κ = (p_o - p_e)/(1 - p_e), p_o = Σ w_ij p_ij, p_e = Σ w_ij p_i. p_.j, with the large-sample variance
 *   [Σ p_ij (w_ij(1 - p_e) - (w̄_i. + w̄_.j)(1 - p_o))² - (p_o p_e - 2p_e + p_o)²]/(n (1 - p_e)⁴).
 * Sources: J. Cohen, Psychological Bulletin 70 (1968) 213-220; J. L. Fleiss, J. Cohen & B. S. Everitt, Psychological Bulletin 72 (1969)
 * 323-327.
 *
 * @param counts K × K, rows the first observer's class, columns the second's; or shares, with their number in `n`.
 * @param options.weights default 'quadratic'. Disagreement weights v become 1 - v/max v.
 * @param options.n number of pairs; default the sum of counts.
 * @throws RangeError for a table or weights that aren't K × K, or a negative count.
 * @example weightedKappa([[20, 5], [10, 15]]).kappa // 0.4
 */
export function weightedKappa(
  counts: readonly ArrayLike<number>[],
  { weights = 'quadratic', n }: { weights?: KappaWeights; n?: number } = {},
): WeightedKappa {
  const K = counts.length;
  checkSquare(counts, 'counts', K);
  if (typeof weights !== 'string') checkSquare(weights, 'weights', K);
  const total = counts.reduce((sum, row) => sum + Array.from(row).reduce((a, b) => a + b, 0), 0);
  const size = n ?? total;
  const w = (i: number, j: number): number => {
    if (typeof weights !== 'string') return weights[i][j];
    if (i === j) return 1;
    if (weights === 'nominal') return 0;
    const apart = Math.abs(i - j) / (K - 1);
    return 1 - (weights === 'linear' ? apart : apart * apart);
  };
  const p = (i: number, j: number): number => counts[i][j] / total;
  const row = new Float64Array(K);
  const column = new Float64Array(K);
  for (let i = 0; i < K; i++)
    for (let j = 0; j < K; j++) {
      row[i] += p(i, j);
      column[j] += p(i, j);
    }
  // Mean weight of each row under the second observer's habits, and of each column under the first's.
  const rowWeight = new Float64Array(K);
  const columnWeight = new Float64Array(K);
  let po = 0;
  let pe = 0;
  for (let i = 0; i < K; i++)
    for (let j = 0; j < K; j++) {
      rowWeight[i] += w(i, j) * column[j];
      columnWeight[j] += w(i, j) * row[i];
      po += w(i, j) * p(i, j);
      pe += w(i, j) * row[i] * column[j];
    }
  let square = 0;
  for (let i = 0; i < K; i++)
    for (let j = 0; j < K; j++)
      square += p(i, j) * (w(i, j) * (1 - pe) - (rowWeight[i] + columnWeight[j]) * (1 - po)) ** 2;
  const variance = (square - (po * pe - 2 * pe + po) ** 2) / (size * (1 - pe) ** 4);
  const known = 1 - pe > 1e-12;
  return {
    kind: 'weighted-kappa',
    kappa: known ? (po - pe) / (1 - pe) : null,
    // Rounding can leave a full agreement a hair below 0.
    variance: known ? Math.max(0, variance) : null,
    observedAgreement: po,
    chanceAgreement: pe,
    n: size,
  };
}

function checkSquare(table: readonly ArrayLike<number>[], what: string, K: number): void {
  if (table.length !== K || table.some((row) => row.length !== K))
    throw new RangeError(`weightedKappa: ${what} must be ${K} × ${K}`);
  const negative = table.flatMap((row) => Array.from(row)).find((v) => !(v >= 0));
  if (negative !== undefined && what === 'counts')
    throw new RangeError(`weightedKappa: counts must not be negative or missing, got ${negative}`);
}

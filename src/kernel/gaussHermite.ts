/** ∫ ≈ Σ weights[i]·f(nodes[i]). Nodes ascending. */
export interface QuadratureRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/**
 * Gauss-Hermite rule for a standard normal variable: E f(Z) ≈ Σ w_i·f(z_i), exact for polynomials of degree 2n - 1; the
 * weights sum to 1. (Tables for the weight e^{-x²} have x_i = z_i/√2 and weights √π·w_i.)
 *
 * Nodes are the roots of the orthonormal Hermite polynomial h_n, h_{k+1} = (z·h_k - √k·h_{k-1})/√(k+1), and
 * w_i = 1/(n·h_{n-1}(z_i)²) (Golub & Welsch, Math. Comp. 23 (1969) 221-230). The roots of h_k separate those of h_{k+1}, so
 * they are climbed degree by degree with Newton kept inside its bracket: no guess can land on a neighbour's root.
 * @param n number of nodes, 1 to 100
 * @throws RangeError for another n
 * @example gaussHermite(2) // nodes -1 and 1, weights 1/2 and 1/2
 */
export function gaussHermite(n: number): QuadratureRule {
  if (!Number.isInteger(n) || !(n >= 1 && n <= 100))
    throw new RangeError(`gaussHermite: n must be a whole number from 1 to 100, got ${n}`);
  // Only the positive half is sought; the rest is its mirror image.
  let roots: number[] = [];
  for (let k = 2; k <= n; k++) {
    // Positive roots of h_k: one above each non-negative root of h_{k-1} and below the next; 2√k bounds the last.
    const walls = k % 2 === 0 ? [0, ...roots, 2 * Math.sqrt(k)] : [...roots, 2 * Math.sqrt(k)];
    roots = walls.slice(1).map((high, i) => bracketedRoot(k, walls[i], high));
  }
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  const half = roots.length;
  for (let i = 0; i < half; i++) {
    nodes[half - 1 - i] = -roots[i];
    nodes[n - half + i] = roots[i];
  }
  for (let i = 0; i < n; i++) {
    const h = orthonormal(n - 1, nodes[i]);
    weights[i] = 1 / (n * h * h);
  }
  return Object.freeze({ nodes, weights });
}

/** h_k(z), orthonormal under the standard normal density. */
function orthonormal(k: number, z: number): number {
  let before = 0;
  let value = 1;
  for (let j = 0; j < k; j++) {
    const next = (z * value - Math.sqrt(j) * before) / Math.sqrt(j + 1);
    before = value;
    value = next;
  }
  return value;
}

/** The one root of h_k between low and high; h_k' = √k·h_{k-1}. */
function bracketedRoot(k: number, low: number, high: number): number {
  const sign = Math.sign(orthonormal(k, high));
  let z = 0.5 * (low + high);
  for (let pass = 0; pass < 200; pass++) {
    const value = orthonormal(k, z);
    if (value === 0) return z;
    if (Math.sign(value) === sign) high = z;
    else low = z;
    let next = z - value / (Math.sqrt(k) * orthonormal(k - 1, z));
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (Math.abs(next - z) <= 1e-16 * (1 + z)) return next;
    z = next;
  }
  return z;
}

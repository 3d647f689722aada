/**
 * Weighted isotonic regression of values in order: the non-decreasing f with the least Σ w·(y - f)², by pooling neighbours
 * that violate the order (M. Ayer et al., Ann. Math. Statist. 26 (1955) 641-647).
 * @param y n values, not changed
 * @param weight n positive weights
 * @example isotonic(Float64Array.of(1, 3, 2), Float64Array.of(1, 1, 1)) // [1, 2.5, 2.5]
 */
export function isotonic(y: Float64Array, weight: Float64Array): Float64Array {
  const n = y.length;
  const mean = new Float64Array(n);
  const mass = new Float64Array(n);
  const size = new Int32Array(n);
  let blocks = 0;
  for (let i = 0; i < n; i++) {
    mean[blocks] = y[i];
    mass[blocks] = weight[i];
    size[blocks] = 1;
    blocks++;
    while (blocks > 1 && mean[blocks - 2] > mean[blocks - 1]) {
      const [a, b] = [blocks - 2, blocks - 1];
      mean[a] = (mean[a] * mass[a] + mean[b] * mass[b]) / (mass[a] + mass[b]);
      mass[a] += mass[b];
      size[a] += size[b];
      blocks--;
    }
  }
  const out = new Float64Array(n);
  let at = 0;
  for (let b = 0; b < blocks; b++) {
    out.fill(mean[b], at, at + size[b]);
    at += size[b];
  }
  return out;
}

/**
 * Slopes of all pairs with different x, ascending (N ≤ n(n - 1)/2 of them).
 * @example pairSlopes([1, 2, 3], [1, 3, 2]) // [-1, 0.5, 2]
 */
export function pairSlopes(x: ArrayLike<number>, y: ArrayLike<number>): Float64Array {
  const n = x.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 1; i < n; i++)
    for (let j = 0; j < i; j++) if (x[i] !== x[j]) slopes[count++] = (y[i] - y[j]) / (x[i] - x[j]);
  return slopes.slice(0, count).sort();
}

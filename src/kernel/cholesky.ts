/**
 * Dense symmetric positive definite systems, on row-major Float64Arrays of n·n. Everything works in place and allocates
 * nothing unless said. A factor L (A = L·Lᵀ) is kept in the lower triangle, diagonal included; what stands above the
 * diagonal is never read.
 */
export type CholeskyStatus = 'ok' | 'not-positive-definite';

/**
 * Overwrites the lower triangle of A by its Cholesky factor L. On failure (a pivot that is not positive, or NaN) A is left
 * half done and the status says so.
 */
export function choleskyFactor(a: Float64Array, n: number): CholeskyStatus {
  for (let j = 0; j < n; j++) {
    const rowJ = j * n;
    let pivot = a[rowJ + j];
    for (let k = 0; k < j; k++) pivot -= a[rowJ + k] * a[rowJ + k];
    if (!(pivot > 0 && pivot < Infinity)) return 'not-positive-definite';
    const root = Math.sqrt(pivot);
    a[rowJ + j] = root;
    for (let i = j + 1; i < n; i++) {
      const rowI = i * n;
      let sum = a[rowI + j];
      for (let k = 0; k < j; k++) sum -= a[rowI + k] * a[rowJ + k];
      a[rowI + j] = sum / root;
    }
  }
  return 'ok';
}

/** Solves L·x = b, overwriting b (length n). */
export function forwardSolve(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = 0; i < n; i++) {
    const row = i * n;
    let sum = b[i];
    for (let k = 0; k < i; k++) sum -= l[row + k] * b[k];
    b[i] = sum / l[row + i];
  }
}

/** Solves Lᵀ·x = b, overwriting b. Of a standard normal b it makes a draw with covariance A⁻¹. */
export function backSolve(l: Float64Array, n: number, b: Float64Array): void {
  for (let i = n - 1; i >= 0; i--) {
    const x = b[i] / l[i * n + i];
    b[i] = x;
    for (let k = 0; k < i; k++) b[k] -= l[i * n + k] * x;
  }
}

/** Solves A·x = b by its factor, overwriting b. */
export function choleskySolve(l: Float64Array, n: number, b: Float64Array): void {
  forwardSolve(l, n, b);
  backSolve(l, n, b);
}

/** ln det A = 2·Σ ln L_ii. */
export function choleskyLogDet(l: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += Math.log(l[i * n + i]);
  return 2 * sum;
}

/** Writes A⁻¹, both triangles, to `out` (n·n, not the factor itself). */
export function choleskyInverse(l: Float64Array, n: number, out: Float64Array): void {
  // Column c of L⁻¹ first, in column c of out; then A⁻¹ = L⁻ᵀ·L⁻¹.
  for (let c = 0; c < n; c++) {
    for (let i = 0; i < c; i++) out[i * n + c] = 0;
    out[c * n + c] = 1 / l[c * n + c];
    for (let i = c + 1; i < n; i++) {
      let sum = 0;
      for (let k = c; k < i; k++) sum -= l[i * n + k] * out[k * n + c];
      out[i * n + c] = sum / l[i * n + i];
    }
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      // Reads rows from i down, columns i and j ≤ i; entries (r, c) with r < i or c > i are not read again.
      let sum = 0;
      for (let k = i; k < n; k++) sum += out[k * n + i] * out[k * n + j];
      out[i * n + j] = sum;
    }
  }
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) out[j * n + i] = out[i * n + j];
}

/** Largest column sum of absolute values of a symmetric matrix, of which both triangles are filled. */
function oneNorm(a: Float64Array, n: number): number {
  let norm = 0;
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += Math.abs(a[i * n + j]);
    if (!(sum <= norm)) norm = sum;
  }
  return norm;
}

/**
 * Condition number of a symmetric positive definite matrix (both triangles filled) in the 1-norm, ‖A‖₁·‖A⁻¹‖₁, from its
 * inverse: at least the ratio of the extreme eigenvalues, at most n times it. Infinity where A is not positive definite.
 * Allocates two n·n arrays.
 * @example conditionNumber(new Float64Array([1, 0, 0, 4]), 2) // 4
 */
export function conditionNumber(a: Float64Array, n: number): number {
  const factor = a.slice(0, n * n);
  if (choleskyFactor(factor, n) !== 'ok') return Infinity;
  const inverse = new Float64Array(n * n);
  choleskyInverse(factor, n, inverse);
  return oneNorm(a, n) * oneNorm(inverse, n);
}

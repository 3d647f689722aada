/** Least squares of y on the columns of X (n × p, row-major), by Householder reflections. */
export interface LeastSquares {
  /** `singular`: a column repeats the others (its remainder is below 1e-12 of its length); coefficients are then NaN. */
  readonly status: 'ok' | 'singular';
  /** p. */
  readonly coefficients: Float64Array;
  /** (XᵀX)⁻¹, p × p. */
  readonly unscaledCovariance: Float64Array;
  /** y - X·coefficients, n. */
  readonly residuals: Float64Array;
  /** Diagonal of the hat matrix, n. */
  readonly leverages: Float64Array;
  /** Residual sum of squares. */
  readonly rss: number;
}

const SINGULAR = 1e-12;

/**
 * Solves min ‖y - Xβ‖² with one pass of iterative refinement (Å. Björck, Numerical Methods for Least Squares Problems, 1996,
 * sections 2.4 and 2.9; from memory). Columns are scaled to length 1 first, so units do not decide what counts as singular.
 * Rows of weight w: multiply row and y by √w before.
 * @param x n·p numbers, row-major, not changed
 * @param y n numbers, not changed
 * @param shape n ≥ p ≥ 1
 */
export function leastSquares(x: Float64Array, y: Float64Array, { n, p }: { n: number; p: number }): LeastSquares {
  const q = x.slice(0, n * p);
  const length = columnLengths(q, n, p);
  for (let i = 0; i < n; i++) for (let j = 0; j < p; j++) q[i * p + j] /= length[j] || 1;
  const diagonal = new Float64Array(p);
  const full = reflect(q, { n, p, diagonal });
  const coefficients = new Float64Array(p).fill(NaN);
  const residuals = new Float64Array(n).fill(NaN);
  const leverages = new Float64Array(n).fill(NaN);
  const unscaledCovariance = new Float64Array(p * p).fill(NaN);
  if (!full) return { status: 'singular', coefficients, unscaledCovariance, residuals, leverages, rss: NaN };

  coefficients.fill(0);
  residuals.set(y);
  const work = new Float64Array(n);
  for (let pass = 0; pass < 2; pass++) {
    work.set(residuals);
    applyReflections(q, work, { n, p });
    backSubstitute(q, work, { p, diagonal });
    for (let j = 0; j < p; j++) coefficients[j] += work[j] / (length[j] || 1);
    for (let i = 0; i < n; i++) {
      let r = y[i];
      for (let j = 0; j < p; j++) r -= x[i * p + j] * coefficients[j];
      residuals[i] = r;
    }
  }
  let rss = 0;
  for (let i = 0; i < n; i++) rss += residuals[i] * residuals[i];
  const inverse = upperInverse(q, { p, diagonal });
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++) {
      let sum = 0;
      for (let k = Math.max(a, b); k < p; k++) sum += inverse[a * p + k] * inverse[b * p + k];
      unscaledCovariance[a * p + b] = sum / (length[a] * length[b]);
    }
  for (let i = 0; i < n; i++) {
    // Row i of Q = X·R⁻¹; its squared length is the leverage.
    let sum = 0;
    for (let k = 0; k < p; k++) {
      let entry = 0;
      for (let j = 0; j <= k; j++) entry += (x[i * p + j] / length[j]) * inverse[j * p + k];
      sum += entry * entry;
    }
    leverages[i] = sum;
  }
  return { status: 'ok', coefficients, unscaledCovariance, residuals, leverages, rss };
}

function columnLengths(x: Float64Array, n: number, p: number): Float64Array {
  const length = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum = Math.hypot(sum, x[i * p + j]);
    length[j] = sum;
  }
  return length;
}

interface Shape {
  readonly n: number;
  readonly p: number;
}

/** Overwrites q by its reflection vectors (on and below the diagonal) and R (above it); R's diagonal apart. */
function reflect(q: Float64Array, { n, p, diagonal }: Shape & { diagonal: Float64Array }): boolean {
  if (n < p) return false;
  for (let k = 0; k < p; k++) {
    let norm = 0;
    for (let i = k; i < n; i++) norm = Math.hypot(norm, q[i * p + k]);
    if (!(norm > SINGULAR)) return false;
    if (q[k * p + k] > 0) norm = -norm;
    // v is scaled so that v_k = 1 - x_k/norm; then H = I - v·vᵀ/v_k.
    for (let i = k; i < n; i++) q[i * p + k] /= -norm;
    q[k * p + k] += 1;
    for (let j = k + 1; j < p; j++) {
      let sum = 0;
      for (let i = k; i < n; i++) sum += q[i * p + k] * q[i * p + j];
      sum /= -q[k * p + k];
      for (let i = k; i < n; i++) q[i * p + j] += sum * q[i * p + k];
    }
    diagonal[k] = norm;
  }
  return true;
}

function applyReflections(q: Float64Array, v: Float64Array, { n, p }: Shape): void {
  for (let k = 0; k < p; k++) {
    let sum = 0;
    for (let i = k; i < n; i++) sum += q[i * p + k] * v[i];
    sum /= -q[k * p + k];
    for (let i = k; i < n; i++) v[i] += sum * q[i * p + k];
  }
}

/** Solves R·x = v in place, in v's first p entries. */
function backSubstitute(
  q: Float64Array,
  v: Float64Array,
  { p, diagonal }: { p: number; diagonal: Float64Array },
): void {
  for (let k = p - 1; k >= 0; k--) {
    let sum = v[k];
    for (let j = k + 1; j < p; j++) sum -= q[k * p + j] * v[j];
    v[k] = sum / diagonal[k];
  }
}

/** R⁻¹, p × p upper triangular. */
function upperInverse(q: Float64Array, { p, diagonal }: { p: number; diagonal: Float64Array }): Float64Array {
  const inverse = new Float64Array(p * p);
  const column = new Float64Array(p);
  for (let c = 0; c < p; c++) {
    column.fill(0);
    column[c] = 1;
    backSubstitute(q, column, { p, diagonal });
    for (let r = 0; r <= c; r++) inverse[r * p + c] = column[r];
  }
  return inverse;
}

/** A straight line with errors in both variables. */
export interface YorkLine {
  readonly status: 'converged' | 'iteration-limit';
  readonly slope: number;
  readonly intercept: number;
  /** Standard errors from the given errors alone, not scaled by the scatter. */
  readonly slopeSe: number;
  readonly interceptSe: number;
  /** Σ W·(y - a - b·x)², about χ² with n - 2 degrees of freedom where the errors are right. */
  readonly chiSquare: number;
  readonly iterations: number;
}

/**
 * Least-squares straight line with known errors of each x and y, uncorrelated: D. York, N. M. Evensen, M. López Martínez &
 * J. De Basabe Delgado, "Unified equations for the slope, intercept, and standard errors of the best straight line", Am. J. Phys.
 * 72 (2004) 367-375 (equations from memory).
 * @param x n values
 * @param y n values
 * @param errors inverse variances wx and wy (n each, above 0) and a first slope
 */
export function york(
  x: Float64Array,
  y: Float64Array,
  { wx, wy, start }: { wx: Float64Array; wy: Float64Array; start: number },
): YorkLine {
  const n = x.length;
  const w = new Float64Array(n);
  const beta = new Float64Array(n);
  let slope = start;
  let meanX = 0;
  let meanY = 0;
  let iterations = 0;
  let settled = false;
  // The change of a step is not always the error that is left: one more round after it falls silent.
  for (let quiet = 0; iterations < 1000 && quiet < 2; iterations++) {
    let mass = 0;
    meanX = 0;
    meanY = 0;
    for (let i = 0; i < n; i++) {
      w[i] = (wx[i] * wy[i]) / (wx[i] + slope * slope * wy[i]);
      mass += w[i];
      meanX += w[i] * x[i];
      meanY += w[i] * y[i];
    }
    meanX /= mass;
    meanY /= mass;
    let above = 0;
    let below = 0;
    for (let i = 0; i < n; i++) {
      const u = x[i] - meanX;
      const v = y[i] - meanY;
      beta[i] = w[i] * (u / wy[i] + (slope * v) / wx[i]);
      above += w[i] * beta[i] * v;
      below += w[i] * beta[i] * u;
    }
    const next = above / below;
    settled = Math.abs(next - slope) <= 1e-14 * Math.abs(next);
    quiet = settled ? quiet + 1 : 0;
    slope = next;
    if (!Number.isFinite(slope)) break;
  }
  const intercept = meanY - slope * meanX;
  let mass = 0;
  let meanAdjusted = 0;
  for (let i = 0; i < n; i++) {
    mass += w[i];
    meanAdjusted += w[i] * (meanX + beta[i]);
  }
  meanAdjusted /= mass;
  let spread = 0;
  let chiSquare = 0;
  for (let i = 0; i < n; i++) {
    const u = meanX + beta[i] - meanAdjusted;
    spread += w[i] * u * u;
    chiSquare += w[i] * (y[i] - intercept - slope * x[i]) ** 2;
  }
  const slopeVariance = 1 / spread;
  return {
    status: settled ? 'converged' : 'iteration-limit',
    slope,
    intercept,
    slopeSe: Math.sqrt(slopeVariance),
    interceptSe: Math.sqrt(1 / mass + meanAdjusted * meanAdjusted * slopeVariance),
    chiSquare,
    iterations,
  };
}

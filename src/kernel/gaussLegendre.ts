import type { QuadratureRule } from './gaussHermite.js';

/**
 * Gauss-Legendre rule for ∫ f(x) dx over [-1, 1] ≈ Σ w_i·f(x_i), exact for polynomials of degree 2n - 1. For an average
 * over an interval halve the weights. Nodes are the roots of P_n by Newton from Tricomi's asymptotic guess
 * (Abramowitz & Stegun 25.4.29 for the rule; formula from memory), ascending and exactly symmetric; weights sum to 2.
 * @param n number of nodes, 1 to 1000
 * @throws RangeError for another n
 * @example gaussLegendre(2).nodes // [-0.5773502691896257, 0.5773502691896257]
 */
export function gaussLegendre(n: number): QuadratureRule {
  if (!Number.isInteger(n) || !(n >= 1 && n <= 1000))
    throw new RangeError(`gaussLegendre: n must be a whole number from 1 to 1000, got ${n}`);
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; 2 * i < n; i++) {
    const middle = 2 * i + 1 === n;
    let x = middle ? 0 : Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 0;
    // The slope is taken once more after the last step: the weights feel its error twice.
    let settled = middle;
    for (let pass = 0; pass < 20; pass++) {
      let before = 1;
      let value = x;
      for (let k = 2; k <= n; k++) {
        const next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
        before = value;
        value = next;
      }
      slope = (n * (x * value - before)) / (x * x - 1);
      if (settled) break;
      const step = value / slope;
      x -= step;
      settled = Math.abs(step) < 1e-15;
    }
    nodes[i] = middle ? 0 : -x;
    nodes[n - 1 - i] = x;
    weights[i] = weights[n - 1 - i] = 2 / ((1 - x * x) * slope * slope);
  }
  return Object.freeze({ nodes, weights });
}

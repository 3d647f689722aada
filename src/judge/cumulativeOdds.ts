import type { Link } from '../fit/types.js';
import { logisticCdf } from '../kernel/logistic.js';
import { normalCdf } from '../kernel/normal.js';

/**
 * P(class <= k) for a gauge that reads x, with the mismatch and the blur of one draw integrated out: P = E F((θ_k - x - ε)/s), ε ~ N(0,
 * σ²), seen by the average observer (bias 0).
 *
 * Probit: Φ((θ_k - x)/√(σ² + s²)), exact. Logit (normal σ, logistic s): the trapezoid rule, which on the whole line converges
 * exponentially for such smooth integrands. Over ε where the logistic is not the much narrower of the two (σ <= 2s; the logistic's nearest
 * poles ±iπs/σ make an error near exp(-4π²s/σ)), else over the logistic deviate, with Φ as the smooth factor. Absolute error below 1e-7.
 *
 * @param edgeMinusX θ_k - x, ln units.
 * @param draw mismatch σ and blur s of the draw (ln units, not negative, not both 0) and the link.
 * @returns a probability; never descending in edgeMinusX.
 */
export function cumulativeOdds(
  edgeMinusX: number,
  { mismatch, blur, link }: { mismatch: number; blur: number; link: Link },
): number {
  if (link === 'probit') return normalCdf(edgeMinusX / Math.sqrt(mismatch * mismatch + blur * blur));
  if (mismatch === 0) return logisticCdf(edgeMinusX / blur);
  let sum = 0;
  if (mismatch <= 2 * blur) {
    for (let i = 0; i < NORMAL_NODES.length; i++)
      sum += NORMAL_WEIGHTS[i] * logisticCdf((edgeMinusX - mismatch * NORMAL_NODES[i]) / blur);
  } else {
    for (let i = 0; i < LOGISTIC_NODES.length; i++)
      sum += LOGISTIC_WEIGHTS[i] * normalCdf((edgeMinusX - blur * LOGISTIC_NODES[i]) / mismatch);
  }
  return sum;
}

/** Half-unit steps to ±8 standard deviations (tail 1e-15), unit steps to ±20 logistic scales (tail 2e-9). */
const NORMAL_NODES = evenNodes(8, 0.5);
const NORMAL_WEIGHTS = normalised(NORMAL_NODES, (z) => Math.exp(-0.5 * z * z));
const LOGISTIC_NODES = evenNodes(20, 1);
const LOGISTIC_WEIGHTS = normalised(LOGISTIC_NODES, (u) => logisticCdf(u) * logisticCdf(-u));

function evenNodes(reach: number, step: number): Float64Array {
  const half = Math.round(reach / step);
  return Float64Array.from({ length: 2 * half + 1 }, (_, i) => (i - half) * step);
}

function normalised(nodes: Float64Array, density: (x: number) => number): Float64Array {
  const raw = nodes.map(density);
  const total = raw.reduce((a, b) => a + b, 0);
  return raw.map((w) => w / total);
}

import { GAUGE_DERIVATIVES, gaugeDerivatives, logGauge } from './levelLikelihood/gaugeFactor.js';
import type { GaugeSide, LevelData, NaturalLayout } from './levelLikelihood/levelData.js';
import { addLogSighting, addSighting, localParameters, nodeBlock } from './levelLikelihood/sightingDerivatives.js';
import { logSighting } from './levelLikelihood/sightingFactor.js';
import { CLIMB, fillIntegrand, layWindow, WEIGH } from './levelLikelihood/visitWindow.js';
import { begin, createWorkspace, MAX_NODES, SPARE_NODES } from './levelLikelihood/workspace.js';

export { withGross } from './levelLikelihood/sightingFactor.js';
export { GROWING, LINE, naturalLayout, parametersOf, POWER, SEGMENTS } from './levelLikelihood/levelData.js';
export { aboveValue, slopeAt, twoSegments } from './levelLikelihood/twoSegments.js';
export type { GaugeSide, LevelData, NaturalLayout } from './levelLikelihood/levelData.js';

/**
 * The marginal likelihood of the level model for one grid point, with exact gradient and Hessian.
 *
 * Letters: c the creek's state of a visit; x_q its gauge value at node q of the time window (weight w_q); σ mismatch; γ limb term;
 * v dx/dt; for sighting j of feature f by observer o: y = c + d_j + b_o with d_j the known shift of place and time;
 * classes: P(saw = k) = F((τ_k - y)/s_f) - F((τ_{k-1} - y)/s_f); numbers: saw ~ N(v + βp(exp((y - y0)/p) - 1), η²), the power-law
 * rating with offset written by its value v and slope β at the middle y0 of the data (the offset is v - βp), the same with the noise
 * η·exp((y - y0)/p), which is in proportion to the height above the offset, or the line N(v + β(y - y0), η²); λ is added to the density of
 * a number that may be grossly wrong.
 *
 *   L_i = ∫ Σ_q w_q N(c; x_q + γ v, σ²) Π_j P_j(c) dc
 *
 * by the trapezoid rule on equidistant nodes of c that are held still while parameters move, so value, gradient and Hessian
 * belong to one smooth function.
 */
export interface LevelLikelihood {
  readonly layout: NaturalLayout;
  /** y - y0 of each feature's break, as in the data. */
  readonly featureBreak: Float64Array;
  /** λ of each feature, as in the data. */
  readonly featureGross: Float64Array;
  /** Choose the nodes of c for these parameters; call before `derivatives` and `value`. Returns ln L on them. */
  setNodes(natural: Float64Array, side: GaugeSide): number;
  /**
   * ln L with gradient (P) and Hessian (P×P, both triangles), on the nodes set; `visits` (n) gets each visit's ln L, `offsets` what an
   * offset of its own does to it.
   */
  derivatives(
    natural: Float64Array,
    side: GaugeSide,
    gradient: Float64Array,
    hessian: Float64Array,
    visits?: Float64Array,
    offsets?: OffsetDerivatives,
  ): number;
  /** ln L alone, on the nodes set. */
  value(natural: Float64Array, side: GaugeSide): number;
  /** ln L alone, with nodes of its own chosen for these parameters; `visits` (n) gets each visit's ln L. */
  freshValue(natural: Float64Array, side: GaugeSide, visits?: Float64Array): number;
}

/**
 * Derivatives of each visit's ln L in an offset of its own, added to its gauge value. The offset enters where γ v does, so these are γ's
 * with v = 1 at every visit: ask with such a `slope`.
 */
export interface OffsetDerivatives {
  /** First derivative, and minus the second (n). */
  readonly gradient: Float64Array;
  readonly curvature: Float64Array;
  /** With each natural parameter: cross[i·P + r]. */
  readonly cross: Float64Array;
}

/** Nodes whose share of a visit's likelihood is below this add nothing to its derivatives. */
const NO_SHARE = 1e-10;

export function createLevelLikelihood(data: LevelData): LevelLikelihood {
  const work = createWorkspace(data);
  const { layout, visits: n } = work;
  const { sightingStart } = data;

  // The nodes set: equidistant ones of each visit, by first, step and count.
  const nodeBase = new Float64Array(n);
  const nodeStep = new Float64Array(n);
  const nodeCount = new Int32Array(n);

  let most = MAX_NODES + 2 * SPARE_NODES;
  for (let i = 0; i < n; i++) most = Math.max(most, data.nodeStart[i + 1] - data.nodeStart[i]);
  let stride = 1;
  for (let i = 0; i < n; i++) stride = Math.max(stride, sightingStart[i + 1] - sightingStart[i]);
  stride *= 6;
  const local = localParameters(data, layout);
  const block = nodeBlock(local);
  const nodes = new Float64Array(most);
  const lnG = new Float64Array(most);
  const cells = new Float64Array(most * stride);
  const gauge = new Float64Array(GAUGE_DERIVATIVES);
  const sum1 = new Float64Array(local.largest);
  const sum2 = new Float64Array(local.largest * local.largest);

  /** Is the state of visit i the gauge value itself? Without a gauge value it is still integrated over. */
  const isExact = (i: number): boolean => data.exact && work.matched[i] === 1;

  /** ln Σ_q w_q Π_j P_j(x_q) of an exact visit. */
  const exactValue = (i: number): number => {
    const count = lnGaugeNodes(i);
    for (let k = 0; k < count; k++)
      for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) lnG[k] += logSighting(work, j, nodes[k]);
    return lnSum(lnG, count);
  };

  /** The window nodes of an exact visit that have a gauge value, and ln of their shares; returns how many. */
  const lnGaugeNodes = (i: number): number => {
    const { side } = work;
    let weight = 0;
    let count = 0;
    for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) {
      if (!(side.x[q] === side.x[q])) continue;
      weight += data.nodeWeight[q];
      nodes[count] = side.x[q];
      lnG[count++] = Math.log(data.nodeWeight[q]);
    }
    for (let k = 0; k < count; k++) lnG[k] -= Math.log(weight);
    return count;
  };

  /** The nodes set for visit i and ln of the gauge factor at them (times the step); returns how many. */
  const lnLatticeNodes = (i: number): number => {
    const lnStep = Math.log(nodeStep[i]);
    for (let k = 0; k < nodeCount[i]; k++) {
      nodes[k] = nodeBase[i] + k * nodeStep[i];
      lnG[k] = logGauge(work, i, nodes[k]) + lnStep;
    }
    return nodeCount[i];
  };

  /** ln of the integral over the integrand at the workspace's nodes. */
  const lnIntegral = (lnFactor: number): number => {
    const { integrand, count, step } = work;
    let sum = 0;
    for (let k = 0; k < count; k++) sum += integrand[k];
    return Math.log(sum * step) + lnFactor;
  };

  const setNodes = (natural: Float64Array, side: GaugeSide): number => {
    begin(work, natural, side);
    const { integrand } = work;
    let total = 0;
    for (let i = 0; i < n; i++) {
      if (isExact(i)) {
        total += exactValue(i);
        continue;
      }
      total += lnIntegral(layWindow(work, i, CLIMB));
      const { lo, step, count } = work;
      let peak = 0;
      for (let k = 0; k < count; k++) if (integrand[k] > peak) peak = integrand[k];
      const enough = peak * CLIMB.negligible;
      let first = 0;
      let last = count - 1;
      while (first < last && !(integrand[first] > enough)) first++;
      while (last > first && !(integrand[last] > enough)) last--;
      nodeBase[i] = lo + (first - SPARE_NODES) * step;
      nodeStep[i] = step;
      nodeCount[i] = last - first + 1 + 2 * SPARE_NODES;
    }
    return total;
  };

  const value = (natural: Float64Array, side: GaugeSide): number => {
    begin(work, natural, side);
    let total = 0;
    for (let i = 0; i < n; i++) {
      if (isExact(i)) total += exactValue(i);
      else {
        work.lo = nodeBase[i];
        work.step = nodeStep[i];
        work.count = nodeCount[i];
        total += lnIntegral(fillIntegrand(work, i, CLIMB));
      }
    }
    return total;
  };

  const freshValue = (natural: Float64Array, side: GaugeSide, visits?: Float64Array): number => {
    begin(work, natural, side);
    let total = 0;
    for (let i = 0; i < n; i++) {
      const lnL = isExact(i) ? exactValue(i) : lnIntegral(layWindow(work, i, WEIGH));
      if (visits !== undefined) visits[i] = lnL;
      total += lnL;
    }
    return total;
  };

  const derivatives = (
    natural: Float64Array,
    side: GaugeSide,
    gradient: Float64Array,
    hessian: Float64Array,
    visits?: Float64Array,
    offsets?: OffsetDerivatives,
  ): number => {
    begin(work, natural, side);
    gradient.fill(0);
    hessian.fill(0);
    let total = 0;
    for (let i = 0; i < n; i++) {
      const exact = isExact(i);
      const count = exact ? lnGaugeNodes(i) : lnLatticeNodes(i);
      for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++)
        addLogSighting(work, j, { nodes, lnG, count, cells, cellAt: 6 * (j - sightingStart[i]), cellStride: stride });
      const lnL = lnSum(lnG, count);
      total += lnL;
      if (visits !== undefined) visits[i] = lnL;
      sumOverNodes(i, { count, lnL, exact });
      foldIn(i, gradient, hessian);
      if (offsets !== undefined) keepOffset(i, offsets);
    }
    return total;
  };

  /**
   * Mean over the nodes, by their share of visit i's likelihood, of gradient (sum1) and Hessian plus gradient squared (sum2, upper
   * triangle).
   */
  const sumOverNodes = (i: number, { count, lnL, exact }: { count: number; lnL: number; exact: boolean }): void => {
    const A = local.global[i].length;
    const { gradient: v, hessian: h } = block;
    block.size = A;
    sum1.fill(0, 0, A);
    sum2.fill(0, 0, A * A);
    for (let k = 0; k < count; k++) {
      const share = Math.exp(lnG[k] - lnL);
      if (!(share > NO_SHARE)) continue;
      v.fill(0, 0, A);
      h.fill(0, 0, A * A);
      block.c = nodes[k];
      if (!exact) {
        gaugeDerivatives(work, i, nodes[k], gauge, 0);
        v[0] = gauge[0];
        v[1] = gauge[1];
        h[0] = gauge[2];
        h[1] = gauge[3];
        h[A + 1] = gauge[4];
      }
      for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) {
        block.cellAt = k * stride + 6 * (j - sightingStart[i]);
        addSighting(work, block, j, cells);
      }
      for (let a = 0; a < A; a++) {
        const va = v[a];
        sum1[a] += share * va;
        sum2[a * A + a] += share * (h[a * A + a] + va * va);
        for (let b = a + 1; b < A; b++) sum2[a * A + b] += share * (h[a * A + b] + h[b * A + a] + va * v[b]);
      }
    }
  };

  /** Adds visit i's gradient and Hessian: of ln of a mean, the mean Hessian plus the gradient's covariance. */
  const foldIn = (i: number, gradient: Float64Array, hessian: Float64Array): void => {
    const P = layout.size;
    const global = local.global[i];
    const A = global.length;
    for (let a = 0; a < A; a++) {
      gradient[global[a]] += sum1[a];
      for (let b = a; b < A; b++) {
        const both = sum2[a * A + b] - sum1[a] * sum1[b];
        hessian[global[a] * P + global[b]] += both;
        if (a !== b) hessian[global[b] * P + global[a]] += both;
      }
    }
  };

  const keepOffset = (i: number, { gradient, curvature, cross }: OffsetDerivatives): void => {
    const global = local.global[i];
    const A = global.length;
    gradient[i] = sum1[1];
    curvature[i] = sum1[1] * sum1[1] - sum2[A + 1];
    for (let a = 0; a < A; a++) cross[i * layout.size + global[a]] = sum2[a === 0 ? 1 : A + a] - sum1[a] * sum1[1];
  };

  const featureGross = data.featureGross ?? new Float64Array(data.featureKind.length);
  return { layout, featureBreak: data.featureBreak, featureGross, setNodes, derivatives, value, freshValue };
}

/** ln Σ exp(values), of the first `count`. */
function lnSum(values: Float64Array, count: number): number {
  let best = -Infinity;
  for (let k = 0; k < count; k++) if (values[k] > best) best = values[k];
  let sum = 0;
  for (let k = 0; k < count; k++) sum += Math.exp(values[k] - best);
  return Math.log(sum) + best;
}

import { cellDerivatives, cellProbability, logCell, type LinkCode } from './link.js';
import { tableNormalCdf } from './normalTable.js';

/**
 * The marginal likelihood of the level model for one grid point, with exact gradient and Hessian.
 *
 * Letters: c the creek's state of a visit; x_q its gauge value at node q of the time window (weight w_q); σ mismatch; γ limb term;
 * v_q dx/dt; for sighting j of feature f by observer o: y = c + d_j + b_o with d_j the known shift of place and time;
 * classes: P(saw = k) = F((τ_k - y)/s_f) - F((τ_{k-1} - y)/s_f); numbers: saw ~ N(v + βp(exp((y - y0)/p) - 1), η²), the power-law
 * rating with offset written by its value v and slope β at the middle y0 of the data (the offset is v - βp), or the line N(v + β(y - y0), η²).
 *
 *   L_i = ∫ Σ_q w_q N(c; x_q + γ v_q, σ²) Π_j P_j(c) dc
 *
 * by the trapezoid rule on equidistant nodes of c that are held still while parameters move, so value, gradient and Hessian
 * belong to one smooth function. For a Gaussian of sd s the rule's error falls as exp(-2π²(s/h)²): 3e-9 at h = s, 6e-7 at the spacing used.
 */
export interface LevelData {
  readonly link: LinkCode;
  /** Visits n, sightings m. */
  readonly sightingStart: Int32Array;
  readonly sightingFeature: Int32Array;
  readonly sightingClass: Int32Array;
  readonly sightingValue: Float64Array;
  readonly sightingObserver: Int32Array;
  readonly nodeStart: Int32Array;
  readonly nodeWeight: Float64Array;
  /** Per feature: number of classes, or 0 for power and -1 for straight-line numeric features. */
  readonly featureKind: Int32Array;
  readonly observers: number;
  /** σ = 0: the state is the gauge value itself (no integral over c). */
  readonly exact: boolean;
  /** y0 above: about the mean x, the same at every grid point. */
  readonly centre: number;
}

/** Where each natural parameter stands. Class feature: K-1 edges, ln s. Power: v, ln β, ln p, ln η. Line: v, ln β, ln η. */
export interface NaturalLayout {
  readonly featureStart: Int32Array;
  readonly lnSigma: number;
  readonly gamma: number;
  readonly bias: number;
  readonly size: number;
}

export function naturalLayout(featureKind: Int32Array, observers: number): NaturalLayout {
  const featureStart = new Int32Array(featureKind.length);
  let at = 0;
  for (let f = 0; f < featureKind.length; f++) {
    featureStart[f] = at;
    at += featureKind[f] > 0 ? featureKind[f] : featureKind[f] === 0 ? 4 : 3;
  }
  return { featureStart, lnSigma: at, gamma: at + 1, bias: at + 2, size: at + 2 + observers };
}

/** The gauge side of one grid point: x at the window nodes (N), dx/dt (n), shifts (m). */
export interface GaugeSide {
  readonly x: Float64Array;
  readonly slope: Float64Array;
  readonly shift: Float64Array;
  /** Mean and sd of x over matched visits: what an unmatched visit is given. */
  readonly mean: number;
  readonly sd: number;
}

export interface LevelLikelihood {
  readonly layout: NaturalLayout;
  /** Choose the nodes of c for these parameters; call before `derivatives`. */
  setNodes(natural: Float64Array, side: GaugeSide): void;
  /** ln L with gradient (P) and Hessian (P×P, both triangles), on the nodes set; `visits` (n) gets each visit's ln L. */
  derivatives(
    natural: Float64Array,
    side: GaugeSide,
    gradient: Float64Array,
    hessian: Float64Array,
    visits?: Float64Array,
  ): number;
  /** ln L alone, on the nodes set. */
  value(natural: Float64Array, side: GaugeSide): number;
  /** ln L alone, with nodes of its own chosen for these parameters; `visits` (n) gets each visit's ln L. */
  freshValue(natural: Float64Array, side: GaugeSide, visits?: Float64Array): number;
}

const LN_SQRT_2PI = 0.9189385332046727;
const MAX_NODES = 256;
/** Draws are weighed, not climbed on: exp(-2π²·0.6²) = 8e-4 at the very worst is far below what a weight can feel. */
const FRESH_NODES_PER_SD = 0.6;
/** Nodes per sd of the product of all factors. */
const NODES_PER_SD = 0.85;
/** Nodes whose integrand is below this share of the peak are dropped. */
const NEGLIGIBLE = 1e-11;
/** The same for draws. */
const FRESH_NEGLIGIBLE = 1e-6;
/** Times a window is widened where sightings contradict each other or the gauge. */
const MAX_WIDENINGS = 6;
/** Integrands below this are summed in logs. */
const SMALLEST_PLAIN = 1e-200;

/** Equidistant values of c. */
interface Lattice {
  lo: number;
  step: number;
  count: number;
}

export function createLevelLikelihood(data: LevelData): LevelLikelihood {
  const layout = naturalLayout(data.featureKind, data.observers);
  const n = data.sightingStart.length - 1;
  const { featureStart, lnSigma: iSigma, gamma: iGamma, bias: iBias } = layout;
  const { featureKind, sightingStart, sightingFeature, sightingClass, sightingValue, sightingObserver, link } = data;
  let maxSightings = 1;
  for (let i = 0; i < n; i++) maxSightings = Math.max(maxSightings, sightingStart[i + 1] - sightingStart[i]);

  // Local parameters of each visit, so that the Hessian is accumulated on a small dense block.
  // Slot order of a sighting: class [lower edge, upper edge, ln s, bias]; power [v, ln β, ln p, ln η, bias]; line [v, ln β, ln η, bias].
  const SLOTS = 5;
  const localOf = new Int32Array(sightingFeature.length * SLOTS).fill(-1);
  const localGlobal: Int32Array[] = [];
  for (let i = 0; i < n; i++) {
    const list: number[] = [iSigma, iGamma];
    const place = (global: number): number => {
      const at = list.indexOf(global);
      return at >= 0 ? at : list.push(global) - 1;
    };
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) {
      const f = sightingFeature[j];
      const K = featureKind[f];
      const s = featureStart[f];
      const slots = localOf.subarray(j * SLOTS, j * SLOTS + SLOTS);
      const o = iBias + sightingObserver[j];
      if (K > 0) {
        const k = sightingClass[j];
        slots[0] = k > 0 ? place(s + k - 1) : -1;
        slots[1] = k < K - 1 ? place(s + k) : -1;
        slots[2] = place(s + K - 1);
        slots[3] = place(o);
      } else {
        const count = K === 0 ? 4 : 3;
        for (let r = 0; r < count; r++) slots[r] = place(s + r);
        slots[count] = place(o);
      }
    }
    localGlobal.push(Int32Array.from(list));
  }
  const maxLocal = localGlobal.reduce((a, l) => Math.max(a, l.length), 2);

  // Node storage: base and step of each visit, and how many.
  const nodeBase = new Float64Array(n);
  const nodeStep = new Float64Array(n);
  const nodeCount = new Int32Array(n);

  // Scratch.
  const logG = new Float64Array(MAX_NODES + 8);
  const dPrior = new Float64Array((MAX_NODES + 8) * 5);
  const dCells = new Float64Array((MAX_NODES + 8) * maxSightings * 6);
  const v = new Float64Array(maxLocal);
  const h = new Float64Array(maxLocal * maxLocal);
  const s1 = new Float64Array(maxLocal);
  const s2 = new Float64Array(maxLocal * maxLocal);
  const matched = new Uint8Array(n);
  const box = new Float64Array(3);
  const lattice: Lattice = { lo: 0, step: 1, count: 0 };
  const numericD = new Float64Array(5);
  const numericDD = new Float64Array(25);

  /** Does any node of the visit's window have a gauge value? */
  const markMatched = (side: GaugeSide): void => {
    for (let i = 0; i < n; i++) {
      matched[i] = 0;
      for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) if (side.x[q] === side.x[q]) matched[i] = 1;
    }
  };

  /** Sets box = [low, high, step] for c of visit i: where both the gauge and each sighting leave something. */
  const frame = (natural: Float64Array, side: GaugeSide, i: number, widthSds: number, perSd: number): void => {
    const sigma = matched[i] === 1 ? Math.exp(natural[iSigma]) : side.sd;
    let lo = Infinity;
    let hi = -Infinity;
    if (matched[i] === 1) {
      const extra = natural[iGamma] * (side.slope[i] === side.slope[i] ? side.slope[i] : 0);
      for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) {
        const xq = side.x[q] + extra;
        if (xq < lo) lo = xq;
        if (xq > hi) hi = xq;
      }
    } else lo = hi = side.mean;
    lo -= widthSds * sigma;
    hi += widthSds * sigma;
    // A product of factors is narrower than each: curvatures add.
    let curvature = 1 / (sigma * sigma);
    let cutLo = lo;
    let cutHi = hi;
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) {
      const f = sightingFeature[j];
      const K = featureKind[f];
      const st = featureStart[f];
      const known = side.shift[j] + natural[iBias + sightingObserver[j]];
      let from = -Infinity;
      let to = Infinity;
      let s: number;
      if (K > 0) {
        s = Math.exp(natural[st + K - 1]) * (link === 1 ? 1.2 : 1);
        const k = sightingClass[j];
        const reach = (widthSds + (link === 1 ? 8 : 1.5)) * s;
        if (k > 0) from = natural[st + k - 1] - known - reach;
        if (k < K - 1) to = natural[st + k] - known + reach;
      } else {
        const eta = Math.exp(natural[st + (K === 0 ? 3 : 2)]);
        const reach = (widthSds + 1.5) * eta;
        const beta = Math.exp(natural[st + 1]);
        const above = sightingValue[j] - natural[st];
        if (K === 0) {
          const p = Math.exp(natural[st + 2]);
          const scaled = (value: number): number => value / (beta * p) + 1;
          s = (0.85 * eta * p) / Math.max(beta * p * scaled(above + eta), eta);
          if (scaled(above - reach) > 0) from = data.centre - known + p * Math.log(scaled(above - reach));
          if (scaled(above + reach) > 0) to = data.centre - known + p * Math.log(scaled(above + reach));
        } else {
          s = (0.85 * eta) / beta;
          from = data.centre - known + (above - reach) / beta;
          to = data.centre - known + (above + reach) / beta;
        }
        s = Math.max(s, 0.02 * sigma);
      }
      curvature += 1 / (s * s);
      if (from > cutLo) cutLo = from;
      if (to < cutHi) cutHi = to;
    }
    const narrow = 1 / Math.sqrt(curvature);
    // Sightings that contradict each other or the gauge leave an empty intersection: then everything between them counts.
    if (!(cutHi - cutLo > 3 * narrow)) {
      const a = Math.min(cutLo, cutHi);
      const b = Math.max(cutLo, cutHi);
      cutLo = Math.min(a, lo) - 2 * narrow;
      cutHi = Math.max(b, hi) + 2 * narrow;
    }
    let step = narrow / perSd;
    if ((cutHi - cutLo) / step > MAX_NODES - 2) step = (cutHi - cutLo) / (MAX_NODES - 2);
    box[0] = cutLo;
    box[1] = cutHi;
    box[2] = step;
  };

  /** box as a lattice of equidistant nodes. */
  const fill = (at: Lattice): Lattice => {
    at.lo = box[0];
    at.step = box[2];
    at.count = Math.min(MAX_NODES, Math.ceil((box[1] - box[0]) / box[2]) + 1);
    return at;
  };

  /** Widens box on each side where the integrand in logG has not died down; false where it has on both. */
  const widen = (peak: number, negligible: number): boolean => {
    const { count } = fill(lattice);
    const room = count < MAX_NODES / 2;
    const left = room && logG[0] > peak * negligible;
    const right = room && logG[count - 1] > peak * negligible;
    const more = 0.5 * (box[1] - box[0]) + 4 * box[2];
    if (left) box[0] -= more;
    if (right) box[1] += more;
    return left || right;
  };

  /** ln Σ_q w_q N(c; μ_q, σ²); with at >= 0 also its derivatives in ln σ and γ: [d, d, dd, dd, dd] at dPrior[at…]. */
  const logPrior = (natural: Float64Array, side: GaugeSide, i: number, c: number, at: number): number => {
    if (matched[i] === 0) {
      const z = (c - side.mean) / side.sd;
      if (at >= 0) dPrior.fill(0, at, at + 5);
      return -0.5 * z * z - Math.log(side.sd) - LN_SQRT_2PI;
    }
    const lnSigma = natural[iSigma];
    const sigma = Math.exp(lnSigma);
    const vel = side.slope[i] === side.slope[i] ? side.slope[i] : 0;
    const extra = natural[iGamma] * vel;
    const from = data.nodeStart[i];
    const to = data.nodeStart[i + 1];
    if (to - from === 1) {
      const z = (c - side.x[from] - extra) / sigma;
      if (at >= 0) {
        dPrior[at] = z * z - 1;
        dPrior[at + 1] = (vel * z) / sigma;
        dPrior[at + 2] = -2 * z * z;
        dPrior[at + 3] = (-2 * vel * z) / sigma;
        dPrior[at + 4] = (-vel * vel) / (sigma * sigma);
      }
      return -0.5 * z * z - lnSigma - LN_SQRT_2PI;
    }
    let top = Infinity;
    let weight = 0;
    for (let q = from; q < to; q++) {
      const z = (c - side.x[q] - extra) / sigma;
      if (z * z < top) top = z * z;
      if (z === z) weight += data.nodeWeight[q];
    }
    let sum = 0;
    let g0 = 0;
    let g1 = 0;
    let h00 = 0;
    let h01 = 0;
    let h11 = 0;
    for (let q = from; q < to; q++) {
      const z = (c - side.x[q] - extra) / sigma;
      if (!(z === z)) continue;
      const r = data.nodeWeight[q] * Math.exp(0.5 * (top - z * z));
      sum += r;
      if (at >= 0) {
        const a = z * z - 1;
        const b = (vel * z) / sigma;
        g0 += r * a;
        g1 += r * b;
        h00 += r * (a * a - 2 * z * z);
        h01 += r * (a * b - (2 * vel * z) / sigma);
        h11 += r * (b * b - (vel * vel) / (sigma * sigma));
      }
    }
    if (at >= 0) {
      g0 /= sum;
      g1 /= sum;
      dPrior[at] = g0;
      dPrior[at + 1] = g1;
      dPrior[at + 2] = h00 / sum - g0 * g0;
      dPrior[at + 3] = h01 / sum - g0 * g1;
      dPrior[at + 4] = h11 / sum - g1 * g1;
    }
    return Math.log(sum / weight) - 0.5 * top - lnSigma - LN_SQRT_2PI;
  };

  const logNumeric = (natural: Float64Array, j: number, y: number): number => {
    const f = sightingFeature[j];
    const st = featureStart[f];
    const power = featureKind[f] === 0;
    const beta = Math.exp(natural[st + 1]);
    const p = power ? Math.exp(natural[st + 2]) : 1;
    const mean = natural[st] + beta * (power ? p * Math.expm1((y - data.centre) / p) : y - data.centre);
    const lnEta = natural[st + (power ? 3 : 2)];
    const r = (sightingValue[j] - mean) / Math.exp(lnEta);
    return -0.5 * r * r - lnEta - LN_SQRT_2PI;
  };

  const logSighting = (natural: Float64Array, side: GaugeSide, j: number, c: number): number => {
    const f = sightingFeature[j];
    const K = featureKind[f];
    const y = c + side.shift[j] + natural[iBias + sightingObserver[j]];
    if (K <= 0) return logNumeric(natural, j, y);
    const st = featureStart[f];
    const s = Math.exp(natural[st + K - 1]);
    const k = sightingClass[j];
    return logCell(
      k > 0 ? (natural[st + k - 1] - y) / s : -Infinity,
      k < K - 1 ? (natural[st + k] - y) / s : Infinity,
      link,
    );
  };

  const logIntegrand = (natural: Float64Array, side: GaugeSide, i: number, c: number): number => {
    let g = logPrior(natural, side, i, c, -1);
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) g += logSighting(natural, side, j, c);
    return g;
  };

  /** Σ_q w_q N(c_k; μ_q, σ²) at equidistant nodes, into logG (plain, not ln): a Gaussian on a lattice follows from two factors. */
  const priorAtNodes = (natural: Float64Array, side: GaugeSide, i: number, { lo, step, count }: Lattice): void => {
    logG.fill(0, 0, count);
    const known = matched[i] === 1;
    const sigma = known ? Math.exp(natural[iSigma]) : side.sd;
    const extra = known && side.slope[i] === side.slope[i] ? natural[iGamma] * side.slope[i] : 0;
    const from = known ? data.nodeStart[i] : 0;
    const to = known ? data.nodeStart[i + 1] : 1;
    let weight = 0;
    for (let q = from; q < to; q++) {
      const mu = known ? side.x[q] + extra : side.mean;
      if (!(mu === mu)) continue;
      const w = known ? data.nodeWeight[q] : 1;
      weight += w;
      // Start at the node nearest to the mean and walk outwards: factors only shrink, so nothing overflows.
      const top = Math.min(count - 1, Math.max(0, Math.round((mu - lo) / step)));
      const h = step / sigma;
      const q2 = Math.exp(-h * h);
      const z = (lo + top * step - mu) / sigma;
      const peak = w * Math.exp(-0.5 * z * z);
      let g = peak;
      let r = Math.exp(-h * z - 0.5 * h * h);
      for (let k = top; k < count && g > 1e-30; k++) {
        logG[k] += g;
        g *= r;
        r *= q2;
      }
      r = Math.exp(h * z - 0.5 * h * h);
      g = peak * r;
      for (let k = top - 1; k >= 0 && g > 1e-30; k--) {
        logG[k] += g;
        r *= q2;
        g *= r;
      }
    }
    const norm = 0.3989422804014327 / (sigma * weight);
    for (let k = 0; k < count; k++) logG[k] *= norm;
  };

  /** Multiplies logG (plain) by the density of a numeric sighting; the power law's exponential follows from node to node by one factor. */
  const timesNumeric = (natural: Float64Array, j: number, y0: number, { step, count }: Lattice): void => {
    const f = sightingFeature[j];
    const st = featureStart[f];
    const power = featureKind[f] === 0;
    const inv = Math.exp(-natural[st + (power ? 3 : 2)]);
    const norm = inv * 0.3989422804014327;
    const beta = Math.exp(natural[st + 1]);
    const p = power ? Math.exp(natural[st + 2]) : 1;
    const above = sightingValue[j] - natural[st];
    const factor = Math.exp(step / p);
    let e = beta * p * Math.exp((y0 - data.centre) / p);
    for (let k = 0; k < count; k++) {
      const r = (above - (power ? e - beta * p : beta * (y0 + k * step - data.centre))) * inv;
      logG[k] *= norm * Math.exp(-0.5 * r * r);
      e *= factor;
    }
  };

  /** Multiplies logG (plain) by P(sighting j | c_k). */
  const timesSighting = (
    natural: Float64Array,
    side: GaugeSide,
    j: number,
    { lo, step, count }: Lattice,
    exact: boolean,
  ): void => {
    const f = sightingFeature[j];
    const K = featureKind[f];
    const y0 = lo + side.shift[j] + natural[iBias + sightingObserver[j]];
    if (K <= 0) {
      timesNumeric(natural, j, y0, { lo, step, count });
      return;
    }
    const st = featureStart[f];
    const inv = Math.exp(-natural[st + K - 1]);
    const cl = sightingClass[j];
    const below = cl > 0 ? (natural[st + cl - 1] - y0) * inv : -Infinity;
    const above = cl < K - 1 ? (natural[st + cl] - y0) * inv : Infinity;
    const d = step * inv;
    if (exact || link === 1)
      for (let k = 0; k < count; k++) logG[k] *= cellProbability(below - k * d, above - k * d, link);
    else if (cl === 0) for (let k = 0; k < count; k++) logG[k] *= tableNormalCdf(above - k * d);
    else if (cl === K - 1) for (let k = 0; k < count; k++) logG[k] *= tableNormalCdf(k * d - below);
    else for (let k = 0; k < count; k++) logG[k] *= tableNormalCdf(above - k * d) - tableNormalCdf(below - k * d);
  };

  /** The integrand at equidistant nodes into logG (plain, not ln), exact cells; returns the largest. */
  const plainIntegrand = (natural: Float64Array, side: GaugeSide, i: number, { lo, step, count }: Lattice): number => {
    priorAtNodes(natural, side, i, { lo, step, count });
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++)
      timesSighting(natural, side, j, { lo, step, count }, true);
    let best = 0;
    for (let k = 0; k < count; k++) if (logG[k] > best) best = logG[k];
    return best;
  };

  const setNodes = (natural: Float64Array, side: GaugeSide): void => {
    markMatched(side);
    for (let i = 0; i < n; i++) {
      if (data.exact) {
        nodeCount[i] = data.nodeStart[i + 1] - data.nodeStart[i];
        continue;
      }
      frame(natural, side, i, 6.5, NODES_PER_SD);
      let peak = 0;
      for (let widening = 0; widening < MAX_WIDENINGS; widening++) {
        peak = plainIntegrand(natural, side, i, fill(lattice));
        if (!widen(peak, NEGLIGIBLE)) break;
      }
      const { lo, step, count } = fill(lattice);
      let enough = peak * NEGLIGIBLE;
      if (!(peak > SMALLEST_PLAIN)) {
        let best = -Infinity;
        for (let k = 0; k < count; k++) {
          logG[k] = logIntegrand(natural, side, i, lo + k * step);
          if (logG[k] > best) best = logG[k];
        }
        enough = best + Math.log(NEGLIGIBLE);
      }
      let first = 0;
      let last = count - 1;
      while (first < last && !(logG[first] > enough)) first++;
      while (last > first && !(logG[last] > enough)) last--;
      nodeBase[i] = lo + (first - 2) * step;
      nodeStep[i] = step;
      nodeCount[i] = last - first + 5;
    }
  };

  const nodeAt = (side: GaugeSide, i: number, k: number): number =>
    data.exact ? side.x[data.nodeStart[i] + k] : nodeBase[i] + k * nodeStep[i];

  const logNodeWeight = (
    natural: Float64Array,
    side: GaugeSide,
    i: number,
    k: number,
    c: number,
    at: number,
  ): number => {
    if (!data.exact) return logPrior(natural, side, i, c, at) + Math.log(nodeStep[i]);
    if (at >= 0) dPrior.fill(0, at, at + 5);
    return c === c ? Math.log(data.nodeWeight[data.nodeStart[i] + k]) : -Infinity;
  };

  const value = (natural: Float64Array, side: GaugeSide): number => {
    let total = 0;
    for (let i = 0; i < n; i++) {
      const count = nodeCount[i];
      if (!data.exact) {
        const at = { lo: nodeBase[i], step: nodeStep[i], count };
        if (plainIntegrand(natural, side, i, at) > SMALLEST_PLAIN) {
          let sum = 0;
          for (let k = 0; k < count; k++) sum += logG[k];
          total += Math.log(sum * nodeStep[i]);
          continue;
        }
      }
      let best = -Infinity;
      for (let k = 0; k < count; k++) {
        const c = nodeAt(side, i, k);
        let g = logNodeWeight(natural, side, i, k, c, -1);
        if (g > -Infinity)
          for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) g += logSighting(natural, side, j, c);
        logG[k] = g;
        if (g > best) best = g;
      }
      let sum = 0;
      for (let k = 0; k < count; k++) sum += Math.exp(logG[k] - best);
      total += Math.log(sum) + best;
    }
    return total;
  };

  const freshValue = (natural: Float64Array, side: GaugeSide, visits?: Float64Array): number => {
    markMatched(side);
    let total = 0;
    for (let i = 0; i < n; i++) {
      let lnL: number;
      if (data.exact) {
        let sum = 0;
        for (let q = data.nodeStart[i]; q < data.nodeStart[i + 1]; q++) {
          let g = 0;
          for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) g += logSighting(natural, side, j, side.x[q]);
          sum += data.nodeWeight[q] * Math.exp(g);
        }
        lnL = Math.log(sum);
      } else {
        frame(natural, side, i, 5, FRESH_NODES_PER_SD);
        let sum = 0;
        for (let widening = 0; widening < MAX_WIDENINGS; widening++) {
          const at = fill(lattice);
          priorAtNodes(natural, side, i, at);
          // Plain products: logs are only needed where they underflow.
          for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) timesSighting(natural, side, j, at, false);
          sum = 0;
          let peak = 0;
          for (let k = 0; k < at.count; k++) {
            sum += logG[k];
            if (logG[k] > peak) peak = logG[k];
          }
          if (!widen(peak, FRESH_NEGLIGIBLE)) break;
        }
        const { lo, step, count } = fill(lattice);
        if (sum * step > 1e-7) lnL = Math.log(sum * step);
        else {
          let best = -Infinity;
          for (let k = 0; k < count; k++) {
            logG[k] = logIntegrand(natural, side, i, lo + k * step);
            if (logG[k] > best) best = logG[k];
          }
          let rest = 0;
          for (let k = 0; k < count; k++) rest += Math.exp(logG[k] - best);
          lnL = Math.log(rest * step) + best;
        }
      }
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
  ): number => {
    const P = layout.size;
    gradient.fill(0);
    hessian.fill(0);
    let total = 0;
    for (let i = 0; i < n; i++) {
      const local = localGlobal[i];
      const A = local.length;
      const j0 = sightingStart[i];
      const J = sightingStart[i + 1] - j0;
      let best = -Infinity;
      for (let k = 0; k < nodeCount[i]; k++) {
        const c = nodeAt(side, i, k);
        let g = logNodeWeight(natural, side, i, k, c, k * 5);
        if (g > -Infinity)
          for (let t = 0; t < J; t++) {
            const j = j0 + t;
            const f = sightingFeature[j];
            const K = featureKind[f];
            if (K > 0) {
              const y = c + side.shift[j] + natural[iBias + sightingObserver[j]];
              const st = featureStart[f];
              const s = Math.exp(natural[st + K - 1]);
              const cl = sightingClass[j];
              const at = (k * maxSightings + t) * 6;
              cellDerivatives(
                dCells,
                at,
                cl > 0 ? (natural[st + cl - 1] - y) / s : -Infinity,
                cl < K - 1 ? (natural[st + cl] - y) / s : Infinity,
                link,
              );
              g += dCells[at];
            } else g += logSighting(natural, side, j, c);
          }
        logG[k] = g;
        if (g > best) best = g;
      }
      let sum = 0;
      for (let k = 0; k < nodeCount[i]; k++) sum += Math.exp(logG[k] - best);
      const lnL = Math.log(sum) + best;
      total += lnL;
      if (visits !== undefined) visits[i] = lnL;

      s1.fill(0, 0, A);
      s2.fill(0, 0, A * A);
      for (let k = 0; k < nodeCount[i]; k++) {
        const r = Math.exp(logG[k] - lnL);
        if (!(r > 1e-10)) continue;
        const c = nodeAt(side, i, k);
        v.fill(0, 0, A);
        h.fill(0, 0, A * A);
        const at = k * 5;
        v[0] = dPrior[at];
        v[1] = dPrior[at + 1];
        h[0] = dPrior[at + 2];
        h[1] = dPrior[at + 3];
        h[A + 1] = dPrior[at + 4];
        for (let t = 0; t < J; t++) {
          const j = j0 + t;
          const K = featureKind[sightingFeature[j]];
          if (K > 0) addCell(natural, side, j, { c, A, at: (k * maxSightings + t) * 6 });
          else addNumeric(natural, side, j, { c, A });
        }
        for (let a = 0; a < A; a++) {
          const va = v[a];
          s1[a] += r * va;
          for (let b = a; b < A; b++) s2[a * A + b] += r * (h[a * A + b] + (a === b ? 0 : h[b * A + a]) + va * v[b]);
        }
      }
      for (let a = 0; a < A; a++) {
        const ga = local[a];
        gradient[ga] += s1[a];
        for (let b = a; b < A; b++) {
          const value = s2[a * A + b] - s1[a] * s1[b];
          hessian[ga * P + local[b]] += value;
          if (a !== b) hessian[local[b] * P + ga] += value;
        }
      }
    }
    return total;
  };

  /** h holds each unordered pair once, in whichever triangle it fell; the accumulation folds them. */
  const addPair = (A: number, a: number, b: number, value: number): void => {
    h[a * A + b] += value;
  };

  const addCell = (
    natural: Float64Array,
    side: GaugeSide,
    j: number,
    node: { c: number; A: number; at: number },
  ): void => {
    const { A, at, c } = node;
    const f = sightingFeature[j];
    const K = featureKind[f];
    const st = featureStart[f];
    const s = Math.exp(natural[st + K - 1]);
    const y = c + side.shift[j] + natural[iBias + sightingObserver[j]];
    const k = sightingClass[j];
    const ia = localOf[j * SLOTS];
    const ib = localOf[j * SLOTS + 1];
    const is = localOf[j * SLOTS + 2];
    const io = localOf[j * SLOTS + 3];
    const pa = dCells[at + 1];
    const pb = dCells[at + 2];
    const paa = dCells[at + 3];
    const pab = dCells[at + 4];
    const pbb = dCells[at + 5];
    const inv = 1 / s;
    const a = ia >= 0 ? (natural[st + k - 1] - y) * inv : 0;
    const b = ib >= 0 ? (natural[st + k] - y) * inv : 0;
    // a and b move with: own edge +1/s, bias -1/s, ln s: -a (or -b). Second derivatives: (edge, ln s) -1/s, (bias, ln s) +1/s, (ln s, ln s) a.
    if (ia >= 0) v[ia] += pa * inv;
    if (ib >= 0) v[ib] += pb * inv;
    v[io] -= (pa + pb) * inv;
    v[is] -= pa * a + pb * b;
    if (ia >= 0) {
      addPair(A, ia, ia, paa * inv * inv);
      addPair(A, ia, io, -(paa + pab) * inv * inv);
      addPair(A, ia, is, (-(paa * a + pab * b) - pa) * inv);
    }
    if (ib >= 0) {
      addPair(A, ib, ib, pbb * inv * inv);
      addPair(A, ib, io, -(pbb + pab) * inv * inv);
      addPair(A, ib, is, (-(pbb * b + pab * a) - pb) * inv);
    }
    if (ia >= 0 && ib >= 0) addPair(A, ia, ib, pab * inv * inv);
    addPair(A, io, io, (paa + 2 * pab + pbb) * inv * inv);
    addPair(A, io, is, (paa * a + pab * (a + b) + pbb * b + pa + pb) * inv);
    addPair(A, is, is, paa * a * a + 2 * pab * a * b + pbb * b * b + pa * a + pb * b);
  };

  const addNumeric = (natural: Float64Array, side: GaugeSide, j: number, node: { c: number; A: number }): void => {
    const { A, c } = node;
    const f = sightingFeature[j];
    const st = featureStart[f];
    const slots = localOf.subarray(j * SLOTS, j * SLOTS + SLOTS);
    const y = c + side.shift[j] + natural[iBias + sightingObserver[j]];
    const power = featureKind[f] === 0;
    const eta = Math.exp(natural[st + (power ? 3 : 2)]);
    const beta = Math.exp(natural[st + 1]);
    const t = y - data.centre;
    const d = numericD;
    const dd = numericDD;
    dd.fill(0);
    d[0] = 1;
    if (power) {
      // Mean v + βp(e^u - 1), u = t/p. Slots 0 v, 1 ln β, 2 ln p, 3 ln η, 4 bias.
      const p = Math.exp(natural[st + 2]);
      const u = t / p;
      const e = Math.exp(u);
      const grown = beta * p * Math.expm1(u);
      d[1] = grown;
      d[2] = grown - beta * t * e;
      d[3] = 0;
      d[4] = beta * e;
      dd[1 * 5 + 1] = grown;
      dd[1 * 5 + 2] = d[2];
      dd[1 * 5 + 4] = beta * e;
      dd[2 * 5 + 2] = grown - beta * t * e + beta * t * u * e;
      dd[2 * 5 + 4] = -beta * u * e;
      dd[4 * 5 + 4] = (beta * e) / p;
      addNormal(A, slots, { size: 5, r: sightingValue[j] - natural[st] - grown, w: 1 / (eta * eta), noise: 3 });
    } else {
      d[1] = beta * t;
      d[2] = 0;
      d[3] = beta;
      dd[1 * 5 + 1] = beta * t;
      dd[1 * 5 + 3] = beta;
      addNormal(A, slots, { size: 4, r: sightingValue[j] - natural[st] - beta * t, w: 1 / (eta * eta), noise: 2 });
    }
  };

  /** -½ r² w - ln η with the mean's derivatives in numericD, numericDD (upper triangle) and the slot of ln η. */
  const addNormal = (A: number, slots: Int32Array, q: { size: number; r: number; w: number; noise: number }): void => {
    const { size, r, w, noise } = q;
    const d = numericD;
    for (let a = 0; a < size; a++) {
      v[slots[a]] += a === noise ? r * r * w - 1 : r * w * d[a];
      for (let b = a; b < size; b++) {
        const value =
          a === noise && b === noise
            ? -2 * r * r * w
            : a === noise || b === noise
              ? -2 * r * w * d[a === noise ? b : a]
              : w * (r * numericDD[a * 5 + b] - d[a] * d[b]);
        addPair(A, slots[a], slots[b], value);
      }
    }
  };

  return { layout, setNodes, derivatives, value, freshValue };
}

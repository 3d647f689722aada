import { cellDerivatives } from '../link.js';
import { GROWING, LINE, parametersOf, SEGMENTS, type LevelData, type NaturalLayout } from './levelData.js';
import { logNumber, logSighting, withGross } from './sightingFactor.js';
import { segmentDerivatives, twoSegments } from './twoSegments.js';
import { knownOffset, type Workspace } from './workspace.js';

/**
 * Slots of a sighting: class [lower edge, upper edge, ln s, bias]; power and growing [v, ln β, ln p, ln η, bias]; line [v, ln β, ln η,
 * bias]; segments [v, ln β, ln p, ln κ, ln p₂, ln η, bias].
 */
const SLOTS = 7;

/**
 * The parameters that each visit depends on, so that its derivatives are summed in a small dense block: 0 is ln σ, 1 is γ, the rest in the
 * order in which its sightings name them.
 */
export interface LocalParameters {
  /** Number of each slot of each sighting among its visit's parameters; -1 where there is none. */
  readonly slots: Int32Array;
  /** Natural parameter of each of a visit's own. */
  readonly global: readonly Int32Array[];
  readonly largest: number;
}

export function localParameters(data: LevelData, layout: NaturalLayout): LocalParameters {
  const { sightingStart, sightingFeature, sightingClass, featureKind } = data;
  const slots = new Int32Array(sightingFeature.length * SLOTS).fill(-1);
  const global: Int32Array[] = [];
  for (let i = 0; i + 1 < sightingStart.length; i++) {
    const list: number[] = [layout.lnSigma, layout.gamma];
    const place = (parameter: number): number => {
      const at = list.indexOf(parameter);
      return at >= 0 ? at : list.push(parameter) - 1;
    };
    for (let j = sightingStart[i]; j < sightingStart[i + 1]; j++) {
      const f = sightingFeature[j];
      const K = featureKind[f];
      const st = layout.featureStart[f];
      const at = j * SLOTS;
      const bias = layout.bias + data.sightingObserver[j];
      if (K > 0) {
        const k = sightingClass[j];
        if (k > 0) slots[at] = place(st + k - 1);
        if (k < K - 1) slots[at + 1] = place(st + k);
        slots[at + 2] = place(st + K - 1);
        slots[at + 3] = place(bias);
      } else {
        const count = parametersOf(K);
        for (let r = 0; r < count; r++) slots[at + r] = place(st + r);
        slots[at + count] = place(bias);
      }
    }
    global.push(Int32Array.from(list));
  }
  return { slots, global, largest: global.reduce((a, l) => Math.max(a, l.length), 2) };
}

/** Gradient (A) and Hessian (A×A, each unordered pair once, in whichever triangle it fell) of a visit's ln integrand at one node. */
export interface NodeBlock {
  readonly slots: Int32Array;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
  /** A. */
  size: number;
  /** The node's c. */
  c: number;
  /** Where the derivatives of the sighting's cell stand. */
  cellAt: number;
}

export function nodeBlock({ slots, largest }: LocalParameters): NodeBlock {
  return {
    slots,
    gradient: new Float64Array(largest),
    hessian: new Float64Array(largest * largest),
    size: 0,
    c: 0,
    cellAt: 0,
  };
}

/** Adds ln P(sighting j | c_k) at each node to lnG; a class's cell derivatives go to cells[cellAt + k·cellStride …] for `addSighting`. */
export function addLogSighting(
  work: Workspace,
  j: number,
  at: {
    readonly nodes: Float64Array;
    readonly lnG: Float64Array;
    readonly count: number;
    readonly cells: Float64Array;
    readonly cellAt: number;
    readonly cellStride: number;
  },
): void {
  const { nodes, lnG, count, cells, cellAt, cellStride } = at;
  const { data, layout, natural } = work;
  const f = data.sightingFeature[j];
  const K = data.featureKind[f];
  if (K <= 0) {
    for (let k = 0; k < count; k++) lnG[k] += logSighting(work, j, nodes[k]);
    return;
  }
  const st = layout.featureStart[f];
  const offset = knownOffset(work, j);
  const s = work.width[f];
  const cl = data.sightingClass[j];
  const lambda = data.featureGross?.[f] ?? 0;
  const below = cl > 0 ? natural[st + cl - 1] - offset : -Infinity;
  const above = cl < K - 1 ? natural[st + cl] - offset : Infinity;
  for (let k = 0; k < count; k++) {
    const to = cellAt + k * cellStride;
    cellDerivatives(cells, to, (below - nodes[k]) / s, (above - nodes[k]) / s, data.link);
    if (lambda > 0) mixGross(cells, to, lambda);
    lnG[k] += cells[to];
  }
}

/** Makes ln P of a cell and its derivatives those of ln(P + λ): with ρ = P/(P + λ) the gradient ρ·g, the Hessian ρ·H + ρ(1-ρ)·gg'. */
function mixGross(cells: Float64Array, at: number, lambda: number): void {
  const rho = 1 / (1 + lambda * Math.exp(-cells[at]));
  const a = cells[at + 1];
  const b = cells[at + 2];
  cells[at] = withGross(cells[at], lambda);
  if (!(rho > 0)) cells.fill(0, at + 1, at + 6);
  else {
    cells[at + 1] *= rho;
    cells[at + 2] *= rho;
    cells[at + 3] = rho * (cells[at + 3] + (1 - rho) * a * a);
    cells[at + 4] = rho * (cells[at + 4] + (1 - rho) * a * b);
    cells[at + 5] = rho * (cells[at + 5] + (1 - rho) * b * b);
  }
}

/** Adds the derivatives of ln P(sighting j | c) at the block's node. */
export function addSighting(work: Workspace, block: NodeBlock, j: number, cells: Float64Array): void {
  if (work.data.featureKind[work.data.sightingFeature[j]] > 0) addCell(work, block, j, cells);
  else addNumeric(work, block, j);
}

function addCell(work: Workspace, block: NodeBlock, j: number, cells: Float64Array): void {
  const { data, layout, natural } = work;
  const { slots, gradient: v, hessian: h, size: A, cellAt: at } = block;
  const f = data.sightingFeature[j];
  const st = layout.featureStart[f];
  const y = block.c + knownOffset(work, j);
  const k = data.sightingClass[j];
  const ia = slots[j * SLOTS];
  const ib = slots[j * SLOTS + 1];
  const is = slots[j * SLOTS + 2];
  const io = slots[j * SLOTS + 3];
  const pa = cells[at + 1];
  const pb = cells[at + 2];
  const paa = cells[at + 3];
  const pab = cells[at + 4];
  const pbb = cells[at + 5];
  const inv = 1 / work.width[f];
  const a = ia >= 0 ? (natural[st + k - 1] - y) * inv : 0;
  const b = ib >= 0 ? (natural[st + k] - y) * inv : 0;
  // a and b move with: own edge +1/s, bias -1/s, ln s: -a (or -b). Second derivatives: (edge, ln s) -1/s, (bias, ln s) +1/s, (ln s, ln
  // s) a.
  if (ia >= 0) {
    v[ia] += pa * inv;
    h[ia * A + ia] += paa * inv * inv;
    h[ia * A + io] -= (paa + pab) * inv * inv;
    h[ia * A + is] -= (paa * a + pab * b + pa) * inv;
  }
  if (ib >= 0) {
    v[ib] += pb * inv;
    h[ib * A + ib] += pbb * inv * inv;
    h[ib * A + io] -= (pbb + pab) * inv * inv;
    h[ib * A + is] -= (pbb * b + pab * a + pb) * inv;
  }
  if (ia >= 0 && ib >= 0) h[ia * A + ib] += pab * inv * inv;
  v[io] -= (pa + pb) * inv;
  v[is] -= pa * a + pb * b;
  h[io * A + io] += (paa + 2 * pab + pbb) * inv * inv;
  h[io * A + is] += (paa * a + pab * (a + b) + pbb * b + pa + pb) * inv;
  h[is * A + is] += paa * a * a + 2 * pab * a * b + pbb * b * b + pa * a + pb * b;
}

/** First and second derivatives of a rating's mean in its slots (upper triangle); the slot of ln η stays 0. */
const mean1 = new Float64Array(SLOTS);
const mean2 = new Float64Array(SLOTS * SLOTS);
const BOTH = { first: mean1, second: mean2, stride: SLOTS };

/** Gradient and Hessian of a reading's ln density in its slots (upper triangle). */
const own1 = new Float64Array(SLOTS);
const own2 = new Float64Array(SLOTS * SLOTS);

/** With ρ = N/(N + λ): ln(N + λ) has the gradient ρ·g and the Hessian ρ·H + ρ(1-ρ)·gg', g and H of ln N. */
function addNumeric(work: Workspace, block: NodeBlock, j: number): void {
  const count = numericDerivatives(work, j, block.c);
  const lambda = work.data.featureGross?.[work.data.sightingFeature[j]] ?? 0;
  const rho = lambda === 0 ? 1 : 1 / (1 + lambda * Math.exp(-logNumber(work, j, block.c)));
  const { slots, gradient: v, hessian: h, size: A } = block;
  const from = j * SLOTS;
  for (let a = 0; a < count; a++) {
    const row = slots[from + a];
    v[row] += rho * own1[a];
    for (let b = a; b < count; b++)
      h[row * A + slots[from + b]] += rho * (own2[a * SLOTS + b] + (1 - rho) * own1[a] * own1[b]);
  }
}

/** Fills own1 and own2 at c; returns the number of slots. */
function numericDerivatives(work: Workspace, j: number, c: number): number {
  const { data, layout, natural } = work;
  const f = data.sightingFeature[j];
  const st = layout.featureStart[f];
  const beta = Math.exp(natural[st + 1]);
  const t = c + knownOffset(work, j) - data.centre;
  const w = 1 / (work.width[f] * work.width[f]);
  const above = data.sightingValue[j] - natural[st];
  const kind = data.featureKind[f];
  if (kind === SEGMENTS) {
    const grown = segmentDerivatives(twoSegments(natural, st, data.featureBreak[f]), t, BOTH);
    return ofNormal({ count: 7, noise: 5, r: above - grown, w });
  }
  mean2.fill(0);
  mean1[0] = 1;
  if (kind === GROWING) {
    // Residual over e^u, q = A·e^-u - βp with A = saw - v + βp, and -u from the noise. What `ofNormal` takes is -q and its derivatives.
    const p = Math.exp(natural[st + 2]);
    const u = t / p;
    const e = Math.exp(-u);
    const g = beta * p;
    const m = (above + g) * e;
    mean1[0] = e;
    mean1[1] = g - g * e;
    mean1[2] = mean1[1] - u * m;
    mean1[3] = 0;
    mean1[4] = m / p;
    mean2[0 * SLOTS + 2] = u * e;
    mean2[0 * SLOTS + 4] = -e / p;
    mean2[1 * SLOTS + 1] = mean1[1];
    mean2[1 * SLOTS + 2] = mean1[1] - u * g * e;
    mean2[1 * SLOTS + 4] = (g * e) / p;
    mean2[2 * SLOTS + 2] = mean1[1] - 2 * u * g * e - m * u * (u - 1);
    mean2[2 * SLOTS + 4] = (g * e + u * m - m) / p;
    mean2[4 * SLOTS + 4] = -m / (p * p);
    ofNormal({ count: 5, noise: 3, r: m - g, w });
    own1[2] += u;
    own1[4] -= 1 / p;
    own2[2 * SLOTS + 2] -= u;
    own2[2 * SLOTS + 4] += 1 / p;
    return 5;
  }
  if (kind !== LINE) {
    // Mean v + βp(e^u - 1), u = t/p. Slots 0 v, 1 ln β, 2 ln p, 3 ln η, 4 bias.
    const p = Math.exp(natural[st + 2]);
    const u = t / p;
    const e = Math.exp(u);
    const grown = beta * p * Math.expm1(u);
    mean1[1] = grown;
    mean1[2] = grown - beta * t * e;
    mean1[3] = 0;
    mean1[4] = beta * e;
    mean2[1 * SLOTS + 1] = grown;
    mean2[1 * SLOTS + 2] = mean1[2];
    mean2[1 * SLOTS + 4] = beta * e;
    mean2[2 * SLOTS + 2] = grown - beta * t * e + beta * t * u * e;
    mean2[2 * SLOTS + 4] = -beta * u * e;
    mean2[4 * SLOTS + 4] = (beta * e) / p;
    return ofNormal({ count: 5, noise: 3, r: above - grown, w });
  }
  // Mean v + βt. Slots 0 v, 1 ln β, 2 ln η, 3 bias.
  mean1[1] = beta * t;
  mean1[2] = 0;
  mean1[3] = beta;
  mean2[1 * SLOTS + 1] = beta * t;
  mean2[1 * SLOTS + 3] = beta;
  return ofNormal({ count: 4, noise: 2, r: above - beta * t, w });
}

/** Of -½ r² w - ln η, w = 1/η², with the mean's derivatives in mean1 and mean2 and the slot of ln η; returns the number of slots. */
function ofNormal({ count, noise, r, w }: { count: number; noise: number; r: number; w: number }): number {
  for (let a = 0; a < count; a++) {
    own1[a] = a === noise ? r * r * w - 1 : r * w * mean1[a];
    for (let b = a; b < count; b++)
      own2[a * SLOTS + b] =
        a === noise && b === noise
          ? -2 * r * r * w
          : a === noise || b === noise
            ? -2 * r * w * mean1[a === noise ? b : a]
            : w * (r * mean2[a * SLOTS + b] - mean1[a] * mean1[b]);
  }
  return count;
}

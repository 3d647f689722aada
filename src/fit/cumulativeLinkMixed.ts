import { gaussHermite, type QuadratureRule } from '../kernel/gaussHermite.js';
import { cellDerivatives, type LinkCode } from '../kernel/link.js';
import { logisticPdf } from '../kernel/logistic.js';
import type { Objective } from '../kernel/newton.js';
import { emptyCuts, fillCuts, parameterBlocks, type CumulativeRows } from './cumulativeLinkRows.js';

/**
 * One random intercept u_g = τ·v_g, v_g ~ N(0, 1), a group. With h(v) = Σ_i w_i ln P_i(v) - v²/2, m its maximum and
 * s = (-h″(m))^{-1/2}, adaptive Gauss-Hermite quadrature with nodes z_k and weights ω_k for the standard normal takes
 *
 *   ln L_g = ln s + ln Σ_k ω_k·exp(z_k²/2 + h(m + s·z_k));  one node is Laplace's approximation.
 *
 * (Q. Liu & D. A. Pierce, "A note on Gauss-Hermite quadrature", Biometrika 81 (1994) 624-629.) τ is the last parameter and
 * may be negative: the likelihood is even in it, so a variance of zero is an ordinary stationary point, not an edge.
 */
export interface MixedObjective {
  /** With p = [rows' parameters | τ]; the Hessian is the central difference of the exact gradient. */
  readonly objective: Objective;
  /** v's mode and variance s² of each group at p. */
  readonly modes: (p: Float64Array) => { mode: Float64Array; variance: Float64Array };
}

/** Newton's steps towards a group's mode; h is concave, so a handful are enough. */
const MODE_STEPS = 100;

export function mixedObjective(
  rows: CumulativeRows,
  { group, groups, nodes, heldSd }: { group: Int32Array; groups: number; nodes: number; heldSd?: number },
): MixedObjective {
  const members = groupMembers(group, groups);
  const rule = gaussHermite(nodes);
  const fixed = parameterBlocks(rows).count;
  const free = heldSd === undefined ? fixed + 1 : fixed;
  const full = new Float64Array(fixed + 1);
  const work = groupWork(rows, fixed + 1);
  const mode = new Float64Array(groups);
  const variance = new Float64Array(groups);

  function evaluate(p: Float64Array, gradient?: Float64Array): number {
    full.set(p);
    if (heldSd !== undefined) full[fixed] = heldSd;
    gradient?.fill(0);
    let value = 0;
    for (let g = 0; g < groups; g++) {
      value += addGroup(work, { rows, members: members[g], rule, p: full, start: mode[g], gradient });
      if (!Number.isFinite(value)) return -Infinity;
      mode[g] = work.mode;
      variance[g] = work.width * work.width;
    }
    return value;
  }

  const ahead = new Float64Array(free);
  const up = new Float64Array(free);
  const down = new Float64Array(free);
  const objective: Objective = (p, gradient, hessian) => {
    if (hessian) {
      for (let q = 0; q < free; q++) {
        const step = 1e-4 * Math.max(0.1, Math.abs(p[q]));
        ahead.set(p);
        ahead[q] = p[q] + step;
        evaluate(ahead, up);
        ahead[q] = p[q] - step;
        evaluate(ahead, down);
        for (let r = 0; r < free; r++) hessian[q * free + r] = (up[r] - down[r]) / (2 * step);
      }
      for (let q = 0; q < free; q++) {
        for (let r = 0; r < q; r++) {
          hessian[q * free + r] = hessian[r * free + q] = 0.5 * (hessian[q * free + r] + hessian[r * free + q]);
        }
      }
    }
    return evaluate(p, gradient);
  };
  const modes = (p: Float64Array): { mode: Float64Array; variance: Float64Array } => {
    evaluate(p);
    return { mode: mode.slice(), variance: variance.slice() };
  };
  return { objective, modes };
}

function groupMembers(group: Int32Array, groups: number): Int32Array[] {
  const lists: number[][] = Array.from({ length: groups }, () => []);
  for (let i = 0; i < group.length; i++) lists[group[i]].push(i);
  return lists.map((list) => Int32Array.from(list));
}

/** Everything a group's sums write to, so that the loops allocate nothing. P parameters, τ last. */
interface GroupWork {
  readonly cuts: ReturnType<typeof emptyCuts>;
  readonly cell: Float64Array;
  readonly third: Float64Array;
  /** ∂h/∂p, ∂²h/∂v∂p, ∂³h/∂v²∂p at the last v. */
  readonly hp: Float64Array;
  readonly hvp: Float64Array;
  readonly hvvp: Float64Array;
  /** h and its derivatives by v at the last v. */
  h: number;
  hv: number;
  hvv: number;
  hvvv: number;
  readonly modeSlope: Float64Array;
  readonly widthSlope: Float64Array;
  readonly nodeSlope: Float64Array;
  mode: number;
  width: number;
}

function groupWork(rows: CumulativeRows, P: number): GroupWork {
  const vector = (): Float64Array => new Float64Array(P);
  return {
    cuts: emptyCuts(parameterBlocks(rows).count),
    cell: new Float64Array(6),
    third: new Float64Array(4),
    hp: vector(),
    hvp: vector(),
    hvvp: vector(),
    h: 0,
    hv: 0,
    hvv: 0,
    hvvv: 0,
    modeSlope: vector(),
    widthSlope: vector(),
    nodeSlope: vector(),
    mode: 0,
    width: 1,
  };
}

interface GroupInput {
  readonly rows: CumulativeRows;
  readonly members: Int32Array;
  readonly rule: QuadratureRule;
  readonly p: Float64Array;
  readonly start: number;
  readonly gradient?: Float64Array;
}

/** ln L_g; adds its gradient; leaves mode and width in `work`. */
function addGroup(work: GroupWork, input: GroupInput): number {
  const { rule, gradient } = input;
  if (!findMode(work, input)) return -Infinity;
  const P = input.p.length;
  if (gradient) {
    // The nodes move with the parameters: m by the implicit function theorem, s by the third derivatives of h.
    addRows(work, input, work.mode, 3);
    for (let q = 0; q < P; q++) {
      work.modeSlope[q] = -work.hvp[q] / work.hvv;
      work.widthSlope[q] = (-0.5 * (work.hvvp[q] + work.hvvv * work.modeSlope[q])) / work.hvv;
    }
    work.nodeSlope.fill(0);
  }
  // A running log-sum-exp: `top` the largest exponent so far, `sum` relative to it.
  let top = -Infinity;
  let sum = 0;
  for (let k = 0; k < rule.nodes.length; k++) {
    const z = rule.nodes[k];
    addRows(work, input, work.mode + work.width * z, gradient ? 1 : 0);
    const exponent = Math.log(rule.weights[k]) + 0.5 * z * z + work.h;
    if (!(exponent > -Infinity)) continue;
    if (exponent > top) {
      const fade = Math.exp(top - exponent);
      sum *= fade;
      if (gradient) for (let q = 0; q < P; q++) work.nodeSlope[q] *= fade;
      top = exponent;
    }
    const share = Math.exp(exponent - top);
    sum += share;
    if (!gradient) continue;
    for (let q = 0; q < P; q++) {
      const drift = work.modeSlope[q] + work.width * z * work.widthSlope[q];
      work.nodeSlope[q] += share * (work.hp[q] + work.hv * drift);
    }
  }
  if (gradient) {
    for (let q = 0; q < gradient.length; q++) gradient[q] += work.nodeSlope[q] / sum + work.widthSlope[q];
  }
  return Math.log(work.width) + top + Math.log(sum);
}

/** Climbs h from `start`; false where a row has probability 0 at every v (cuts out of order). */
function findMode(work: GroupWork, input: GroupInput): boolean {
  let v = input.start;
  addRows(work, input, v, 2);
  if (!Number.isFinite(work.h)) return false;
  for (let pass = 0; pass < MODE_STEPS; pass++) {
    const from = work.h;
    let step = -work.hv / work.hvv;
    const small = Math.abs(step) <= 1e-13 * (1 + Math.abs(v));
    addRows(work, input, v + step, 2);
    for (let halving = 0; halving < 50 && !(work.h >= from - 1e-12 * (1 + Math.abs(from))); halving++) {
      step *= 0.5;
      addRows(work, input, v + step, 2);
    }
    v += step;
    if (small) break;
  }
  work.mode = v;
  work.width = 1 / Math.sqrt(-work.hvv);
  return Number.isFinite(work.width);
}

/** h at v and, by order: 1 adds h_v and h_p; 2 adds h_v and h_vv only; 3 adds all, with h_vp, h_vvp and h_vvv. */
function addRows(work: GroupWork, { rows, members, p }: GroupInput, v: number, order: 0 | 1 | 2 | 3): void {
  const { cuts, cell, third, hp, hvp, hvvp } = work;
  const { da, db } = cuts;
  const blocks = parameterBlocks(rows);
  const last = p.length - 1;
  const tau = p[last];
  const slopes = order === 1 || order === 3;
  if (slopes) hp.fill(0);
  if (order === 3) {
    hvp.fill(0);
    hvvp.fill(0);
  }
  let h = -0.5 * v * v;
  let hv = -v;
  let hvv = -1;
  let hvvv = 0;
  for (let j = 0; j < members.length; j++) {
    const i = members[j];
    const w = rows.weights[i];
    if (w === 0) continue;
    fillCuts(cuts, rows, { blocks, i, p, u: tau * v });
    cellDerivatives(cell, 0, cuts.a, cuts.b, rows.link);
    h += w * cell[0];
    if (order === 0) continue;
    // Both cuts move by c a unit of v and by t a unit of τ.
    const c = -tau * cuts.shrink;
    const t = -v * cuts.shrink;
    const first = cell[1] + cell[2];
    const second = cell[3] + 2 * cell[4] + cell[5];
    hv += w * c * first;
    hvv += w * c * c * second;
    if (slopes) {
      for (let q = 0; q < last; q++) hp[q] += w * (cell[1] * da[q] + cell[2] * db[q]);
      hp[last] += w * t * first;
    }
    if (order !== 3) continue;
    cellThirds(third, { cell, a: cuts.a, b: cuts.b, link: rows.link });
    const bendA = third[0] + 2 * third[1] + third[2];
    const bendB = third[1] + 2 * third[2] + third[3];
    hvvv += w * c * c * c * (bendA + bendB);
    for (let q = 0; q < last; q++) {
      hvp[q] += w * c * ((cell[3] + cell[4]) * da[q] + (cell[4] + cell[5]) * db[q]);
      hvvp[q] += w * c * c * (bendA * da[q] + bendB * db[q]);
    }
    hvp[last] += w * (c * t * second - cuts.shrink * first);
    hvvp[last] += w * (c * c * t * (bendA + bendB) - 2 * c * cuts.shrink * second);
    // c itself shrinks with the scale: ∂c/∂ζ_s = -w_s·c.
    for (let s = 0; s < rows.scale.length; s++) {
      const by = -rows.scale[s][i] * c * w;
      hvp[blocks.scale + s] += by * first;
      hvvp[blocks.scale + s] += 2 * by * c * second;
    }
  }
  work.h = h;
  work.hv = hv;
  work.hvv = hvv;
  work.hvvv = hvvv;
}

/** ∂aaa, ∂aab, ∂abb, ∂bbb of ln(F(b) - F(a)), from the derivatives below them. */
function cellThirds(
  out: Float64Array,
  { cell, a, b, link }: { cell: Float64Array; a: number; b: number; link: LinkCode },
): void {
  const ra = -cell[1];
  const rb = cell[2];
  // With e = f'/f: E_a = e(a) + r_a and E_b = e(b) - r_b, read off the second derivatives.
  const ea = ra > 0 ? -cell[3] / ra : 0;
  const eb = rb > 0 ? cell[5] / rb : 0;
  const slopeA = link === 0 ? -1 : -2 * logisticPdf(a);
  const slopeB = link === 0 ? -1 : -2 * logisticPdf(b);
  out[0] = -ra * (ea * ea + slopeA + ra * ea);
  out[1] = ra * rb * (ea + ra);
  out[2] = ra * rb * (eb - rb);
  out[3] = rb * (eb * eb + slopeB - rb * eb);
}

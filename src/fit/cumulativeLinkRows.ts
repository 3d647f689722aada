import { cellDerivatives, type LinkCode } from '../kernel/link.js';
import type { Objective } from '../kernel/newton.js';

/**
 * The rows of a cumulative link model, ready for inner loops. Row i of class k lies between two cuts,
 *
 *   a = (θ_{k-1} + z_iᵀδ_{k-1} - x_iᵀβ - o_i - u)·e_i,  b the same with k,  e_i = exp(-w_iᵀζ),
 *
 * θ thresholds (or start and spacing), δ effects on single thresholds, β location, ζ log scale, o offset, u the random
 * intercept. The parameters stand in this order in one vector p: [θ | δ, covariate-major | β | ζ].
 */
export interface CumulativeRows {
  readonly link: LinkCode;
  readonly n: number;
  /** Number of classes K, all of them seen. */
  readonly classes: number;
  readonly equidistant: boolean;
  /** 0 … K-1, length n. */
  readonly classIndex: Int32Array;
  /** Frequency of each row, length n. */
  readonly weights: Float64Array;
  readonly offset: Float64Array;
  /** Covariates, each of length n. */
  readonly nominal: readonly Float64Array[];
  readonly location: readonly Float64Array[];
  readonly scale: readonly Float64Array[];
}

/** Where each block of parameters starts in p, and how many there are. */
export interface ParameterBlocks {
  readonly nominal: number;
  readonly location: number;
  readonly scale: number;
  readonly count: number;
}

export function parameterBlocks(rows: CumulativeRows): ParameterBlocks {
  const thresholds = rows.equidistant ? 2 : rows.classes - 1;
  const location = thresholds + rows.nominal.length * (rows.classes - 1);
  const scale = location + rows.location.length;
  return { nominal: thresholds, location, scale, count: scale + rows.scale.length };
}

/** The cuts of one row and their derivatives by p; made once and filled again for each row. */
export interface RowCuts {
  a: number;
  b: number;
  /** e_i. */
  shrink: number;
  readonly da: Float64Array;
  readonly db: Float64Array;
}

export function emptyCuts(count: number): RowCuts {
  return { a: NaN, b: NaN, shrink: NaN, da: new Float64Array(count), db: new Float64Array(count) };
}

/** Fills the cuts of row i at parameters p with the random intercept at u; derivatives by an infinite cut are 0. */
export function fillCuts(
  cuts: RowCuts,
  rows: CumulativeRows,
  { blocks, i, p, u }: { blocks: ParameterBlocks; i: number; p: Float64Array; u: number },
): void {
  const { da, db } = cuts;
  da.fill(0);
  db.fill(0);
  let spread = 0;
  for (let s = 0; s < rows.scale.length; s++) spread += rows.scale[s][i] * p[blocks.scale + s];
  const shrink = Math.exp(-spread);
  let centre = rows.offset[i] + u;
  for (let l = 0; l < rows.location.length; l++) centre += rows.location[l][i] * p[blocks.location + l];
  const k = rows.classIndex[i];
  cuts.shrink = shrink;
  cuts.a = k === 0 ? -Infinity : oneCut(da, k - 1);
  cuts.b = k === rows.classes - 1 ? Infinity : oneCut(db, k);

  function oneCut(d: Float64Array, j: number): number {
    let sum = 0;
    if (rows.equidistant) {
      sum = p[0] + j * p[1];
      d[0] = shrink;
      d[1] = j * shrink;
    } else {
      sum = p[j];
      d[j] = shrink;
    }
    for (let m = 0; m < rows.nominal.length; m++) {
      const at = blocks.nominal + m * (rows.classes - 1) + j;
      sum += rows.nominal[m][i] * p[at];
      d[at] = rows.nominal[m][i] * shrink;
    }
    const cut = (sum - centre) * shrink;
    for (let l = 0; l < rows.location.length; l++) d[blocks.location + l] = -rows.location[l][i] * shrink;
    for (let s = 0; s < rows.scale.length; s++) d[blocks.scale + s] = -rows.scale[s][i] * cut;
    return cut;
  }
}

/** ln-likelihood of the rows without a random intercept, with exact gradient and Hessian. */
export function cumulativeObjective(rows: CumulativeRows): Objective {
  const blocks = parameterBlocks(rows);
  const P = blocks.count;
  const cuts = emptyCuts(P);
  const cell = new Float64Array(6);
  return (p, gradient, hessian) => {
    gradient?.fill(0);
    hessian?.fill(0);
    let value = 0;
    for (let i = 0; i < rows.n; i++) {
      const w = rows.weights[i];
      if (w === 0) continue;
      fillCuts(cuts, rows, { blocks, i, p, u: 0 });
      cellDerivatives(cell, 0, cuts.a, cuts.b, rows.link);
      value += w * cell[0];
      const { da, db } = cuts;
      if (gradient) for (let q = 0; q < P; q++) gradient[q] += w * (cell[1] * da[q] + cell[2] * db[q]);
      if (hessian) addCurvature(hessian, rows, { blocks, cuts, cell, i });
    }
    if (hessian) for (let q = 0; q < P; q++) for (let r = 0; r < q; r++) hessian[r * P + q] = hessian[q * P + r];
    return value;
  };
}

/** Adds one row's second derivatives to the lower triangle. */
function addCurvature(
  hessian: Float64Array,
  rows: CumulativeRows,
  { blocks, cuts, cell, i }: { blocks: ParameterBlocks; cuts: RowCuts; cell: Float64Array; i: number },
): void {
  const P = blocks.count;
  const w = rows.weights[i];
  const { da, db } = cuts;
  for (let q = 0; q < P; q++) {
    const byA = w * (cell[3] * da[q] + cell[4] * db[q]);
    const byB = w * (cell[4] * da[q] + cell[5] * db[q]);
    if (byA === 0 && byB === 0) continue;
    for (let r = 0; r <= q; r++) hessian[q * P + r] += byA * da[r] + byB * db[r];
  }
  // A cut bends only through the scale: ∂²a/∂ζ_s∂p_r = -w_s·∂a/∂p_r, for every r.
  for (let s = 0; s < rows.scale.length; s++) {
    const q = blocks.scale + s;
    for (let r = 0; r <= q; r++) hessian[q * P + r] -= w * rows.scale[s][i] * (cell[1] * da[r] + cell[2] * db[r]);
  }
}

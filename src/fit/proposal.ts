import type { Random } from '../kernel/random.js';

const LN_SQRT_2PI = 0.9189385332046728;

/** Proposals are widened a little: too wide costs some draws, too narrow all trust in them. */
const WIDEN = 1.05;

/** Bounds of the split scales, sds of Laplace's normal. */
const LEAST_SCALE = 0.7;
const MOST_SCALE = 2.5;

/** Effective draws at which what was learnt counts as much as what was there. */
const TRUST_HALF = 12;

/** Effective draws below which weights are flattened before anything is learnt from them. */
const LEAST_EFFECTIVE = 40;

/** A proposal in whitened coordinates: independent split normals with these modes and sds above and below (F each). */
export interface Proposal {
  readonly centre: Float64Array;
  readonly up: Float64Array;
  readonly down: Float64Array;
}

/**
 * How far the posterior really reaches on either side of the mode along each whitened axis, in sds of Laplace's normal: from the fall of
 * the ln posterior at ±1.5 sd, s = 1.5/√(2·fall). Log scales of sds and gaps are skewed, and a normal that is too narrow on one side is
 * what makes importance weights explode. Split-normal importance functions: J. Geweke, "Bayesian inference in econometric models using
 * Monte Carlo integration", Econometrica 57 (1989) 1317-1339 (from memory).
 *
 * @param F number of axes.
 * @param logTarget ln posterior at a whitened place (F).
 */
export function splitNormal(F: number, logTarget: (z: Float64Array) => number): Proposal {
  const z = new Float64Array(F);
  const top = logTarget(z);
  const scale = (a: number, at: number): number => {
    z.fill(0);
    z[a] = at;
    const fall = top - logTarget(z);
    return WIDEN * bounded(fall > 0 ? Math.abs(at) / Math.sqrt(2 * fall) : MOST_SCALE);
  };
  return {
    centre: new Float64Array(F),
    up: Float64Array.from({ length: F }, (_, a) => scale(a, 1.5)),
    down: Float64Array.from({ length: F }, (_, a) => scale(a, -1.5)),
  };
}

function bounded(scale: number): number {
  return Math.min(MOST_SCALE, Math.max(LEAST_SCALE, scale));
}

function effectiveCount(weights: Float64Array): number {
  let square = 0;
  for (const w of weights) square += w * w;
  return 1 / square;
}

/** Weights flattened by a power until enough draws carry them: two heavy draws say little, the direction they lie in says more. */
function tempered(weights: Float64Array): Float64Array {
  let out = weights;
  for (const power of [0.7, 0.5, 0.35, 0.25, 0.15]) {
    if (effectiveCount(out) >= LEAST_EFFECTIVE) break;
    const raised = weights.map((w) => w ** power);
    const total = raised.reduce((sum, w) => sum + w, 0);
    out = raised.map((w) => w / total);
  }
  return out;
}

/**
 * A better proposal from weighted draws: the mean over the posterior is not its mode, and in thirty directions small offsets multiply.
 * Mean and sd of each whitened axis under the weights, drawn back towards the old proposal where few draws carry the weight.
 */
export function learn(old: Proposal, { z, weights: raw }: { z: Float64Array; weights: Float64Array }): Proposal {
  const F = old.centre.length;
  const weights = tempered(raw);
  const effective = effectiveCount(weights);
  const trust = effective / (effective + TRUST_HALF);
  const centre = new Float64Array(F);
  const up = new Float64Array(F);
  const down = new Float64Array(F);
  for (let a = 0; a < F; a++) {
    let mean = 0;
    for (let d = 0; d < weights.length; d++) mean += weights[d] * z[d * F + a];
    let above = 0;
    let below = 0;
    const c = old.centre[a] + trust * (mean - old.centre[a]);
    for (let d = 0; d < weights.length; d++) {
      const off = z[d * F + a] - c;
      if (off > 0) above += weights[d] * off * off;
      else below += weights[d] * off * off;
    }
    // Half of a symmetric spread lies on each side; a pooled sd, leaning to the longer side.
    const sd = Math.sqrt(above + below);
    const lean = Math.min(1.6, Math.max(0.625, Math.sqrt((above + 1e-12) / (below + 1e-12)) ** (2 / 3)));
    const share = trust;
    const side = (scale: number, before: number): number =>
      WIDEN * bounded(share * scale + (1 - share) * (before / WIDEN));
    const base = (2 * sd) / (1 + lean);
    up[a] = side(base * lean, old.up[a]);
    down[a] = side(base, old.down[a]);
    centre[a] = c - Math.sqrt(2 / Math.PI) * (up[a] - down[a]);
  }
  return { centre, up, down };
}

/** A draw of the proposal into z; returns its ln density. */
export function drawFrom(random: Random, { centre, up, down }: Proposal, z: Float64Array): number {
  let logQ = 0;
  for (let a = 0; a < z.length; a++) {
    const n = Math.abs(random.normal());
    const total = up[a] + down[a];
    z[a] = centre[a] + (random.uniform() * total < up[a] ? up[a] * n : -down[a] * n);
    logQ += Math.LN2 - Math.log(total) - LN_SQRT_2PI - 0.5 * n * n;
  }
  return logQ;
}

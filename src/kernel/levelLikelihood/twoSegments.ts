import type { Workspace } from './workspace.js';

/*
 * A rating of two power laws that meet at a break: below it v + βp(e^{t/p} - 1), above it m + Sp₂(e^{(t - t_b)/p₂} - 1), t = y - y0, with m
 * the lower one's value at the break and S = κ·β·e^{t_b/p} its slope there times κ. The break t_b is held; v, ln β, ln p, ln κ, ln p₂ are
 * parameters, in that order.
 */

/** The numbers of one rating, from its natural parameters. */
export interface TwoSegments {
  readonly beta: number;
  readonly p: number;
  readonly breakAt: number;
  /** Value above v, and e^{t_b/p}, at the break. */
  readonly atBreak: number;
  readonly grownAtBreak: number;
  /** Slope just above the break. */
  readonly slope: number;
  readonly p2: number;
}

export function twoSegments(natural: ArrayLike<number>, from: number, breakAt: number): TwoSegments {
  const beta = Math.exp(natural[from + 1]);
  const p = Math.exp(natural[from + 2]);
  const grownAtBreak = Math.exp(breakAt / p);
  return {
    beta,
    p,
    breakAt,
    atBreak: beta * p * Math.expm1(breakAt / p),
    grownAtBreak,
    slope: Math.exp(natural[from + 3]) * beta * grownAtBreak,
    p2: Math.exp(natural[from + 4]),
  };
}

/** What the rating reads above v at t. */
export function aboveValue({ beta, p, breakAt, atBreak, slope, p2 }: TwoSegments, t: number): number {
  return t <= breakAt ? beta * p * Math.expm1(t / p) : atBreak + slope * p2 * Math.expm1((t - breakAt) / p2);
}

/** Its slope at t; at the break the lower one's. */
export function slopeAt({ beta, p, breakAt, slope, p2 }: TwoSegments, t: number): number {
  return t <= breakAt ? beta * Math.exp(t / p) : slope * Math.exp((t - breakAt) / p2);
}

/** t at which it reads `above` more than v; NaN below its offset. */
export function whereAbove({ beta, p, breakAt, atBreak, slope, p2 }: TwoSegments, above: number): number {
  if (above > atBreak) return breakAt + p2 * Math.log1p((above - atBreak) / (slope * p2));
  const scaled = 1 + above / (beta * p);
  return scaled > 0 ? p * Math.log(scaled) : NaN;
}

/** Noise sds within which a reading may lie on either side of the corner. */
const CORNER_REACH = 4;

/**
 * Where the factor of a reading `above` v stands, as y - y0: its ends `far` to either side (NaN below the offset), its sd at the steepest
 * place near, and whether it reaches over the corner. `s` is the noise.
 */
export function segmentReach(
  { data, layout, natural }: Workspace,
  feature: number,
  { above, far, s }: { above: number; far: number; s: number },
): { from: number; to: number; sd: number; corner: boolean } {
  const rating = twoSegments(natural, layout.featureStart[feature], data.featureBreak[feature]);
  const { breakAt, slope, p } = rating;
  const corner =
    whereAbove(rating, above + CORNER_REACH * s) > breakAt && !(whereAbove(rating, above - CORNER_REACH * s) > breakAt);
  const steepest = Math.max(
    slopeAt(rating, whereAbove(rating, above + s)) || 0,
    corner ? Math.max(slope, slopeAt(rating, breakAt)) : 0,
    s / p,
  );
  return { from: whereAbove(rating, above - far), to: whereAbove(rating, above + far), sd: s / steepest, corner };
}

/**
 * First and second derivatives of the value at t in [v, ln β, ln p, ln κ, ln p₂, –, t]; the sixth is left to the noise. `second` is
 * `stride` wide, upper triangle.
 * @returns what it reads above v.
 */
export function segmentDerivatives(
  rating: TwoSegments,
  t: number,
  { first, second, stride }: { first: Float64Array; second: Float64Array; stride: number },
): number {
  const { beta, p, breakAt, atBreak, grownAtBreak, slope, p2 } = rating;
  first.fill(0);
  second.fill(0);
  first[0] = 1;
  const put = (a: number, b: number, value: number): void => void (second[a * stride + b] = value);
  if (t <= breakAt) {
    const u = t / p;
    const e = Math.exp(u);
    const grown = beta * p * Math.expm1(u);
    first[1] = grown;
    first[2] = grown - beta * t * e;
    first[6] = beta * e;
    put(1, 1, grown);
    put(1, 2, first[2]);
    put(1, 6, beta * e);
    put(2, 2, first[2] + beta * t * u * e);
    put(2, 6, -beta * u * e);
    put(6, 6, (beta * e) / p);
    return grown;
  }
  const ub = breakAt / p;
  const w = (t - breakAt) / p2;
  const upper = slope * p2 * Math.expm1(w);
  const rise = slope * Math.exp(w);
  const bent = upper - (t - breakAt) * rise;
  const lowerInP = atBreak - beta * breakAt * grownAtBreak;
  first[1] = atBreak + upper;
  first[2] = lowerInP - ub * upper;
  first[3] = upper;
  first[4] = bent;
  first[6] = rise;
  put(1, 1, first[1]);
  put(1, 2, first[2]);
  put(1, 3, upper);
  put(1, 4, bent);
  put(1, 6, rise);
  put(2, 2, lowerInP + beta * breakAt * ub * grownAtBreak + ub * (1 + ub) * upper);
  put(2, 3, -ub * upper);
  put(2, 4, -ub * bent);
  put(2, 6, -ub * rise);
  put(3, 3, upper);
  put(3, 4, bent);
  put(3, 6, rise);
  put(4, 4, bent + (t - breakAt) * w * rise);
  put(4, 6, -w * rise);
  put(6, 6, rise / p2);
  return first[1];
}

import type { LoggerRating } from './types.js';

/** One grid point's curve by generalised least squares under AR(1) errors of a given memory. */
export interface CurveAt {
  readonly middle: number;
  readonly rise: number;
  /** Whitened residual sum of squares. */
  readonly rss: number;
  /** Profile ln likelihood over level, slope and noise. */
  readonly logLikelihood: number;
}

/** What a curve is fitted to: levels (n), whether a row follows its neighbour, the memory φ, the bend and the centre of x. */
export interface CurveSetting {
  readonly level: Float64Array;
  readonly follows: Uint8Array;
  readonly memory: number;
  readonly bend: number;
  readonly centre: number;
}

/** z = (e^{bend·d} - 1)/bend, d itself where there is no bend. */
export function bent(d: number, bend: number): number {
  return bend === 0 ? d : Math.expm1(bend * d) / bend;
}

/**
 * level = α + β·z(x) + u, u_t = φ·u_{t-1} + ε: rows that follow a neighbour enter as differences y_t - φ·y_{t-1}, the first of a stretch as
 * √(1 - φ²)·y (Prais-Winsten; from memory).
 *
 * @param x n values of one grid point. @param residuals if given, gets the whitened residuals (n).
 */
export function curveAt(x: Float64Array, setting: CurveSetting, residuals?: Float64Array): CurveAt {
  const { level, follows, memory, bend, centre } = setting;
  const n = level.length;
  const first = Math.sqrt(1 - memory * memory);
  let sww = 0;
  let swz = 0;
  let szz = 0;
  let swy = 0;
  let szy = 0;
  let syy = 0;
  let starts = 0;
  let before = 0;
  for (let i = 0; i < n; i++) {
    const z = bent(x[i] - centre, bend);
    let w = first;
    let a = first * z;
    let y = first * level[i];
    if (follows[i] === 1) {
      w = 1 - memory;
      a = z - memory * before;
      y = level[i] - memory * level[i - 1];
    } else starts++;
    before = z;
    sww += w * w;
    swz += w * a;
    szz += a * a;
    swy += w * y;
    szy += a * y;
    syy += y * y;
  }
  const det = sww * szz - swz * swz;
  const rise = det > 0 ? Math.max(0, (sww * szy - swz * swy) / det) : 0;
  const middle = (swy - rise * swz) / sww;
  // Sums of squares lose digits where the noise is small beside the levels: the residuals are summed by themselves.
  let rss = 0;
  for (let i = 0; i < n; i++) {
    const u = level[i] - middle - rise * bent(x[i] - centre, bend);
    const r = follows[i] === 1 ? u - memory * before : first * u;
    before = u;
    rss += r * r;
    if (residuals !== undefined) residuals[i] = r;
  }
  const floor = 1e-12 * Math.max(syy, 1e-300);
  return {
    middle,
    rise,
    rss,
    logLikelihood: -0.5 * n * Math.log(Math.max(rss, floor) / n) + 0.5 * starts * Math.log(1 - memory * memory),
  };
}

/** The curve in its words. */
export function ratingOf({ middle, rise }: CurveAt, { bend, centre }: CurveSetting): LoggerRating {
  const line = bend === 0;
  return Object.freeze({
    form: line ? ('line' as const) : ('power' as const),
    middle,
    rise,
    bend,
    centre,
    offset: line ? -Infinity : middle - rise / bend,
    exponent: line ? Infinity : 1 / bend,
  });
}

/** Level of a curve at x. */
export function levelAt({ middle, rise, bend, centre }: LoggerRating, x: number): number {
  return middle + rise * bent(x - centre, bend);
}

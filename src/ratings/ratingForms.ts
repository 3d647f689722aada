import type { Residuals } from '../kernel/levenberg.js';

/** ln Q of a rating at a stage in some coordinates; with `out`, its derivatives by the parameters. NaN outside the domain. */
export type LnRating = (stage: number, parameters: Float64Array, out?: Float64Array) => number;

/**
 * One segment around a reference stage hr: ln Q = q + s·ln(1 + κ(h - hr))/κ, parameters q, s, κ = 1/(hr - h0). The offset that
 * runs off to -∞ is the plain point κ = 0 (an exponential), so a fit and its profile can walk up to it and across.
 */
export function segmentAround(reference: number): LnRating {
  return (stage, [q, s, kappa], out) => {
    const d = stage - reference;
    const z = kappa * d;
    if (!(z > -1)) return NaN;
    // Near z = 0 the quotient loses its digits; four terms of the series do not.
    const small = Math.abs(z) < 1e-3;
    const length = small ? d * (1 - z * (1 / 2 - z * (1 / 3 - z * (1 / 4 - z / 5)))) : Math.log1p(z) / kappa;
    if (out) {
      out[0] = 1;
      out[1] = length;
      const bend = small ? -d * d * (1 / 2 - z * (2 / 3 - z * (3 / 4 - z * (4 / 5)))) : (d / (1 + z) - length) / kappa;
      out[2] = s * bend;
    }
    return q + s * length;
  };
}

/** One segment in the letters of the standard: ln Q = ln C + b·ln(h - h0), parameters ln C, b, φ with h0 = lowest - e^φ. */
export function segmentBelow(lowest: number): LnRating {
  return (stage, [lnC, b, phi], out) => {
    const toOffset = Math.exp(phi);
    const depth = stage - lowest + toOffset;
    if (!(depth > 0)) return NaN;
    const x = Math.log(depth);
    if (out) {
      out[0] = 1;
      out[1] = x;
      out[2] = (b * toOffset) / depth;
    }
    return lnC + b * x;
  };
}

/**
 * Two segments that meet at a break k: below it ln C + b₁·ln(h - h₁), above it as much further as b₂·ln((h - h₂)/(k - h₂)).
 * Parameters ln C, b₁, φ₁, k, b₂, φ₂ with h₁ = lowest - e^φ₁ and h₂ = k - e^φ₂.
 */
export function twoSegments(lowest: number): LnRating {
  return (stage, [lnC, b1, phi1, k, b2, phi2], out) => {
    const toFirst = Math.exp(phi1);
    const turn = Math.min(stage, k);
    const depth1 = turn - lowest + toFirst;
    if (!(depth1 > 0)) return NaN;
    const above = Math.max(0, stage - k);
    const toSecond = Math.exp(phi2);
    const ratio = above / toSecond;
    if (out) {
      out[0] = 1;
      out[1] = Math.log(depth1);
      out[2] = (b1 * toFirst) / depth1;
      out[3] = above > 0 ? b1 / depth1 - b2 / (toSecond + above) : 0;
      out[4] = Math.log1p(ratio);
      out[5] = (-b2 * ratio) / (1 + ratio);
    }
    return lnC + b1 * Math.log(depth1) + b2 * Math.log1p(ratio);
  };
}

/** Gaugings as checked columns; weight are inverse variances up to a factor. */
export interface Gaugings {
  readonly stage: Float64Array;
  readonly discharge: Float64Array;
  readonly weight: Float64Array;
}

/** Whether gaugings err in per cent (`ln`) or in discharge (`natural`). */
export type RatingErrors = 'ln' | 'natural';

/** Residuals of ln Q or of Q, weights in. */
export function ratingResiduals(
  { stage, discharge, weight }: Gaugings,
  form: LnRating,
  errors: RatingErrors,
): Residuals {
  const n = stage.length;
  return (point, residuals, jacobian) => {
    const p = point.length;
    const row = new Float64Array(p);
    for (let i = 0; i < n; i++) {
      const ln = form(stage[i], point, jacobian ? row : undefined);
      const computed = errors === 'ln' ? ln : Math.exp(ln);
      if (!Number.isFinite(computed)) return false;
      const root = Math.sqrt(weight[i]);
      residuals[i] = root * ((errors === 'ln' ? Math.log(discharge[i]) : discharge[i]) - computed);
      if (jacobian) {
        const slope = errors === 'ln' ? root : root * computed;
        for (let j = 0; j < p; j++) jacobian[i * p + j] = slope * row[j];
      }
    }
    return true;
  };
}

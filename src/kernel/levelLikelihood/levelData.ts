import type { LinkCode } from '../link.js';

/**
 * Kinds of numeric features: power law with offset, straight line, the power law whose noise grows with the height above the offset,
 * and two power laws that meet at a break.
 */
export const POWER = 0;
export const LINE = -1;
export const GROWING = -2;
export const SEGMENTS = -3;

/** What was seen at one run, the same at every grid point: n visits, m sightings. */
export interface LevelData {
  readonly link: LinkCode;
  /** First sighting of each visit (n + 1). */
  readonly sightingStart: Int32Array;
  readonly sightingFeature: Int32Array;
  readonly sightingClass: Int32Array;
  readonly sightingValue: Float64Array;
  readonly sightingObserver: Int32Array;
  /** First node of each visit's time window (n + 1), and the nodes' weights. */
  readonly nodeStart: Int32Array;
  readonly nodeWeight: Float64Array;
  /** Per feature: number of classes, or `POWER`, `LINE`, `GROWING` or `SEGMENTS` for a numeric one. */
  readonly featureKind: Int32Array;
  /** Per feature: y - y0 where the two power laws of `SEGMENTS` meet; not read for the others. */
  readonly featureBreak: Float64Array;
  /**
   * Per feature λ = ε·g/(1 - ε): a share ε of its sightings is grossly wrong, and such a number has the density g, such a class the
   * probability g, wherever the creek stood. The factor 1 - ε
   * of all readings is left out. Default 0: noise is all there is.
   */
  readonly featureGross?: Float64Array;
  readonly observers: number;
  /** σ = 0: the state is the gauge value itself (no integral over c where there is one). */
  readonly exact: boolean;
  /** y0 of the numeric features: about the mean x, the same at every grid point. */
  readonly centre: number;
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

/**
 * Where each natural parameter stands. Class feature: K-1 edges, ln s. Power and growing: v, ln β, ln p, ln η. Line: v, ln β, ln η.
 * Segments: v, ln β, ln p, ln κ, ln p₂, ln η.
 */
export interface NaturalLayout {
  readonly featureStart: Int32Array;
  readonly lnSigma: number;
  readonly gamma: number;
  readonly bias: number;
  readonly size: number;
}

/** Natural parameters of features of these kinds, then ln σ, γ and a bias for each observer. */
export function naturalLayout(featureKind: Int32Array, observers: number): NaturalLayout {
  const featureStart = new Int32Array(featureKind.length);
  let at = 0;
  for (let f = 0; f < featureKind.length; f++) {
    featureStart[f] = at;
    at += parametersOf(featureKind[f]);
  }
  return { featureStart, lnSigma: at, gamma: at + 1, bias: at + 2, size: at + 2 + observers };
}

/** Natural parameters of a feature; the last is ln s or ln η. */
export function parametersOf(kind: number): number {
  return kind > 0 ? kind : kind === LINE ? 3 : kind === SEGMENTS ? 6 : 4;
}

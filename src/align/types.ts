import type { GaugeUnit, Parameter } from '../series/units.js';

/**
 * The visits of one run against one gauge, on a grid of lags and storages: plain arrays, ready for fitting.
 * n visits, m sightings, G = storagesHours.length × lagsHours.length grid points (storage-major: g = iStorage·nLag + iLag).
 */
export interface Aligned {
  readonly kind: 'aligned';
  readonly run: string;
  readonly gauge: string;
  readonly gaugeName: string;
  readonly parameter: Parameter;
  readonly unit: GaugeUnit;
  /** x = ln(reading - offset): `zeroFlowStage` of a stage gauge where known, else 0. */
  readonly offset: number;
  /** Class lists; `verdict` first, then the run's features that have a usable sighting. */
  readonly features: readonly AlignedFeature[];
  readonly observers: readonly string[];
  readonly visitIds: readonly string[];
  /** Visit time, UTC ms (n). */
  readonly visitTimesMs: Float64Array;
  /** First sighting of each visit (n + 1): sightings of visit i are rows sightingStart[i] … sightingStart[i+1]-1. */
  readonly sightingStart: Int32Array;
  readonly sightingFeature: Int32Array;
  /** Class index, or -1 for a numeric feature (m). */
  readonly sightingClass: Int32Array;
  /** Numeric reading, or NaN (m). */
  readonly sightingValue: Float64Array;
  readonly sightingObserver: Int32Array;
  /** 1-based line in visits.csv (m). */
  readonly sightingRow: Int32Array;
  readonly lagsHours: Float64Array;
  readonly storagesHours: Float64Array;
  /** Quadrature nodes per visit over its time window; 1 when its time is exact (n). */
  readonly nodeStart: Int32Array;
  /** Weight of each node; sums to 1 over a visit (N = nodeStart[n]). */
  readonly nodeWeight: Float64Array;
  /** x at each node on the grid: x[g·N + node]; NaN where the node is unmatched. */
  readonly x: Float64Array;
  /** dx/dt (per hour) at each visit's middle time on the grid: slope[g·n + i]; NaN where unmatched. */
  readonly slope: Float64Array;
  /** x at the sighting's own place and time minus x at the visit's middle: shift[g·m + j]; 0 where unmatched. */
  readonly shift: Float64Array;
  /** Flood number of each visit, 0-based, ascending in time (n). */
  readonly flood: Int32Array;
  /** Limb of each visit at lag 0, storage 0: 1 rising, 0 steady, -1 falling (n). */
  readonly limb: Int8Array;
  /** Visits left out because no reading matches at most of the grid. */
  readonly unmatched: readonly {
    readonly visit: string;
    readonly row: number;
    readonly file?: string;
    readonly reason: string;
  }[];
}

export interface AlignedFeature {
  readonly id: string;
  readonly name: string;
  /** Class words lowest first; empty for a numeric feature. */
  readonly classes: readonly string[];
  /** Unit of a numeric feature. */
  readonly unit?: string;
}

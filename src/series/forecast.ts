/** One official forecast of a gauge. */
export interface Forecast {
  /** UTC ms. */
  readonly issuedMs: number;
  /** Moments it is for (n), UTC ms, ascending, all after `issuedMs`. */
  readonly timesMs: Float64Array;
  /** In the gauge's unit (n). */
  readonly values: Float64Array;
}

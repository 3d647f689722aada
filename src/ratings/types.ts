/** How a stand-alone fit ended. `unbounded`: a parameter runs off to infinity; the curve is its limit. */
export type CurveStatus = 'converged' | 'singular' | 'iteration-limit' | 'too-few-rows' | 'unbounded';

/** One estimated parameter with its interval. */
export interface CurveTerm {
  readonly term: string;
  readonly estimate: number;
  /** From the linearised covariance; NaN where it has none. */
  readonly standardError: number;
  /** Infinite or at a limit of the parameter where the interval is open on that side. */
  readonly lower: number;
  readonly upper: number;
}

/** An estimated value with the interval of the mean curve or of one new observation. */
export interface Prediction {
  readonly at: number;
  readonly estimate: number;
  readonly lower: number;
  readonly upper: number;
  /** Where `at` lies against the data that were fitted. */
  readonly extent: 'inside' | 'below' | 'above';
}

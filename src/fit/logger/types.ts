import type { Estimate } from '../../kernel/estimate.js';
import type { GaugeUnit } from '../../series/units.js';

/**
 * level = middle + rise·(e^{bend·(x - centre)} - 1)/bend, x the routed gauge's ln reading; bend 0: level = middle + rise·(x - centre). A
 * bend above 0 is the power law x = ln C + b·ln(level - offset) with b = 1/bend and offset = middle - rise/bend.
 */
export interface LoggerRating {
  readonly form: 'power' | 'line';
  readonly middle: number;
  readonly rise: number;
  readonly bend: number;
  readonly centre: number;
  /** Level at which the curve ends; -Infinity for a line. */
  readonly offset: number;
  /** Exponent of the rating; Infinity for a line. */
  readonly exponent: number;
}

/** A temporary logger's series explained by one official gauge. */
export interface LoggerFit {
  readonly kind: 'logger-fit';
  readonly status: 'converged' | 'too-few-rows' | 'constant-gauge' | 'constant-logger';
  readonly statusSentence: string;
  readonly logger: string;
  readonly gauge: string;
  readonly gaugeName: string;
  /** Unit of the logger's levels. */
  readonly unit: GaugeUnit;
  readonly fromMs: number;
  readonly toMs: number;
  readonly stepHours: number;
  /** Steps that have a level and a reading at every lag and storage. */
  readonly rows: number;
  /** Floods of the gauge that the logger saw. */
  readonly floods: number;
  readonly lag: Estimate;
  readonly storage: Estimate;
  /** Storage-major like Aligned, G; probability sums to 1 (all 0 without a fit). */
  readonly grid: {
    readonly lagsHours: Float64Array;
    readonly storagesHours: Float64Array;
    readonly logLikelihood: Float64Array;
    readonly probability: Float64Array;
  };
  /** The likeliest point's curve. */
  readonly rating: LoggerRating;
  /** Curves of the points that carry weight, with their share: what predictions are averaged over. */
  readonly curves: readonly { readonly g: number; readonly share: number; readonly rating: LoggerRating }[];
  /** sd of the levels around the curve, in the logger's unit. */
  readonly residualSd: number;
  /** Share of the levels' variance that the curve explains. */
  readonly explained: number;
  /** The most that any lag and storage of the grid explains, its curve laid through the levels themselves. */
  readonly bestExplained: number;
  /** Correlation of neighbouring residuals, one step apart. */
  readonly memory: number;
  /** rows·(1 - memory)/(1 + memory): independent rows worth as much. */
  readonly effectiveRows: number;
  /** Factor, at most 1, that the log-likelihood was multiplied by, because whole days err together more than the memory says. */
  readonly blockFactor: number;
  /** Lowest and highest x of the rows at the likeliest point. */
  readonly seen: { readonly from: number; readonly to: number };
}

/**
 * Numeric readings on their own: a rating from gaugings, any other curve, and how often a flow is exceeded. Stands beside the level charts
 * and needs none of them. Every function takes plain arrays and gives back a frozen object with `kind` and `status`; numbers that do not
 * exist are NaN.
 */
export { fitCurve } from './fitCurve.js';
export type { CurveData, CurveFit, CurveModel, CurveOptions } from './fitCurve.js';
export { fitRating } from './fitRating.js';
export type { RatingFit, RatingOptions, RatingSegment } from './fitRating.js';
export { exceedance, flowDuration, plottingPositions } from './flowDuration.js';
export type { FlowDuration, PlottingPosition } from './flowDuration.js';
export { invertCurve, predictCurve } from './invertCurve.js';
export type { InverseOptions, InversePrediction } from './invertCurve.js';
export { predictRating, stageForDischarge } from './predictRating.js';
export type { RatingPredictionOptions } from './predictRating.js';
export type { RatingErrors } from './ratingForms.js';
export type { CurveStatus, CurveTerm, Prediction } from './types.js';

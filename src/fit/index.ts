/**
 * The level model by hand: visits beside a record on a grid of lags and storages, the fit, loggers, and what a lag may be by distance and
 * flow.
 */
export { alignVisits, lagGrid, storageGrid } from '../align/alignVisits.js';
export { effectiveSeries } from '../align/effectiveSeries.js';
export { floodOfVisits, floodStarts } from '../align/floods.js';
export type { Aligned, AlignedFeature } from '../align/types.js';
export { fitLevels } from './fitLevels.js';
export type { FitOptions, LevelFits } from './fitLevels.js';
export type * from './types.js';
export { staffOffset } from './staffOffset.js';
export type { StaffOffset } from './staffOffset.js';
export { fitLogger } from './logger/fitLogger.js';
export { loggerCcf } from './logger/loggerCcf.js';
export { loggerDoubt } from './logger/loggerDoubt.js';
export { loggerLevel } from './logger/loggerLevel.js';
export { loggerPrior } from './logger/loggerPrior.js';
export type { LoggerDoubt } from './logger/loggerDoubt.js';
export type { LoggerFit, LoggerRating } from './logger/types.js';
export { flowLag } from './travelTime/flowLag.js';
export type { FlowLag } from './travelTime/flowLag.js';
export { lagAtFlow } from './travelTime/lagAtFlow.js';
export { warpRecord } from './travelTime/warpRecord.js';
export { travelTime } from './travelTime/tracerTime.js';
export { lagAndDistance, reachTimes, travelTimePrior, travelTimeSentence } from './travelTime/travelTimePrior.js';

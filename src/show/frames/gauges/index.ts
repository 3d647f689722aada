export { beatsTable, candidatesTable, combinedEdgesTable, combinedPartsTable, partsTable } from './rankingTables.js';
export type { BeatsRow, CandidateRow, CombinedEdgeRow, PartRow } from './rankingTables.js';
export { ccfTable, loggerEstimatesTable, loggerLevelsTable, loggersTable } from './loggerTables.js';
export type { CcfRow, LoggerEstimateRow, LoggerKey, LoggerLevelRow, LoggerRow } from './loggerTables.js';
export { lagsTable } from './lagTables.js';
export type { LagRow } from './lagTables.js';
export { staffCurveTable, staffPointsTable, staffRatingsTable, staffReadingsTable } from './staffTables.js';
export type { StaffCurveRow, StaffPointRow, StaffRatingRow, StaffReadingRow } from './staffTables.js';
export type { EstimateCells, RunKey } from './gaugeRows.js';

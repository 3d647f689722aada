export { fromFrame, toFrame } from './frame.js';
export type { TidyFrame } from './frame.js';
export { tidyTable } from './tidyTable.js';
export type { ColumnType, TidyCell, TidyTable } from './tidyTable.js';
export { sightingsTable } from './sightingsTable.js';
export type { SightingRow } from './sightingsTable.js';
export { edgesTable, gridTable, observersTable, oddsTable, sureRangesTable, visitsTable } from './chartTables.js';
export type { ChartKey, EdgeRow, GridRow, ObserverRow, OddsRow, SureRangeRow, VisitRow } from './chartTables.js';
export * from './trust/index.js';

/** Every table of a chart, a judgement and the gauges: tidy rows, and danfojs frames of them. */
export { fromFrame, toFrame } from './frame.js';
export type { TidyFrame } from './frame.js';
export { tableMeaning, tidy } from '../../tell/table.js';
export type { Cell, ColumnType, Table, TidyRow, TidyTable } from '../../tell/table.js';
export * from '../../tell/tables/chartTables.js';
export * from '../../tell/tables/trustTables.js';
export * from '../../tell/tables/gaugeTables.js';

export { checksTable, evidenceTable } from './evidenceTables.js';
export type { CheckRow, EvidenceRow } from './evidenceTables.js';
export {
  confusionTable,
  floodsTable,
  leadCurveTable,
  ratesTable,
  reliabilityTable,
  skillTable,
} from './scoreTables.js';
export type { ConfusionRow, FloodRow, LeadRow, RateRow, ReliabilityRow, SkillRow } from './scoreTables.js';
export { ruleCostsTable, rulesTable } from './ruleTables.js';
export type { FrontierRow, RuleCostRow } from './ruleTables.js';
export { agreementTable, biasTable, pairsTable, residualsTable, suspectsTable } from './keeperTables.js';
export type { AgreementRow, BiasRow, PairRow, ResidualRow, SuspectRow } from './keeperTables.js';
export { influenceTable, lookValuesTable, nextLooksTable, sensitivityTable, withoutTable } from './edgeMoveTables.js';
export type { InfluenceRow, LookRow, LookValueRow, SensitivityRow, WithoutRow } from './edgeMoveTables.js';
export type { MeasuredCells, TrustKey } from './trustRows.js';

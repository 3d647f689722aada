/** The parts of a judgement by hand: floods left out, scores, rules, observers, shifts, and several gauges compared. */
export { leaveFloodOut } from './leaveFloodOut.js';
export { skillOf } from './skill.js';
export { skillAgainstSeason } from './skillAgainstSeason.js';
export { logScoreOf } from './logScore.js';
export { reliabilityOf } from './reliability.js';
export { sharpnessOf } from './sharpness.js';
export { confusionOf } from './confusion.js';
export { gradeRelation } from './grade.js';
export { judgeRelation } from './judgeRelation.js';
export { gradeWays } from './gradeWays.js';
export { waysOfReading } from './waysOfReading.js';
export { ruleDays } from './ruleDays.js';
export { ruleCost } from './rule.js';
export { chooseRule } from './chooseRule.js';
export { observerAgreement } from './agreement.js';
export { krippendorffAlpha } from './krippendorff.js';
export { weightedKappa } from './weightedKappa.js';
export { pettitt } from './pettitt.js';
export { shiftOf } from './shift.js';
export { suspectsOf } from './suspects.js';
export { nextLook } from './nextLook.js';
export { verdictRankCorrelation } from './verdictRankCorrelation.js';
export { lagSignOf } from './lagSign.js';
export { combineGauges } from './gauges/combineGauges.js';
export { gaugeCandidate } from './gauges/gaugeCandidate.js';
export { rankGauges } from './gauges/rankGauges.js';
export type * from './judgement.js';
export type * from './types.js';
export type {
  CombinedGauge,
  CombinedPart,
  GaugeAside,
  GaugeCandidate,
  GaugeChoice,
  GaugeRanking,
  RankedGauge,
} from './gauges/types.js';

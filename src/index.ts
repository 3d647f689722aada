/**
 * Level charts of a creek: from its folder or its bytes to charts, trust and gauges, and how they are written. The parts stand behind
 * subpaths.
 */
export { convertUnit, unitLabel } from './series/units.js';
export { VERDICT } from './series/visits.js';
export { issueSentence } from './series/issue.js';
export { CAUTIONS } from './series/cautions.js';
export { VERSION } from './series/version.js';
export type { DischargeUnit, GaugeUnit, Parameter, StageUnit } from './series/units.js';
export type * from './series/creek.js';
export type * from './series/visits.js';
export type * from './series/gaugeRecord.js';
export type * from './series/issue.js';
export type { CreekInput, NamedFile } from './read/types.js';
export { readCreek } from './read/readCreek.js';
export { loadCreekFolder } from './show/creekFolder.js';
export { newCreekFolder } from './show/cli/newCreekFolder.js';
export { checkReport } from './show/cli/checkReport.js';

export { chartCreek } from './chart/chartCreek.js';
export { fitCreek } from './chart/fitCreek.js';
export { creekChart, gaugeChart } from './chart/creekChart.js';
export { oddsNow } from './chart/day/oddsNow.js';
export { outlook } from './chart/day/outlook.js';
export { outlookSkill } from './chart/day/outlookSkill.js';
export { seasonOf } from './chart/day/season.js';
export { corePool } from './show/workers/corePool.js';
export type { CreekOptions, CreekResult, StagedProgress } from './chart/chartCreek.js';
export type { ChartOptions, FittedCreek, Relation } from './chart/fitCreek.js';
export type { Progress, Runner, RunOptions } from './chart/jobs.js';
export type { OddsNow } from './chart/day/oddsNow.js';
export type { Outlook } from './chart/day/outlook.js';
export type { OutlookGain, OutlookSkill } from './chart/day/outlookSkill.js';
export type { Season } from './chart/day/season.js';
export type { Forecast } from './series/forecast.js';
export type * from './chart/types.js';
export type * from './chart/gauges/types.js';
export type * from './judge/judgement.js';

export { chartFolder } from './show/cli/chartFolder.js';
export { cardFolder } from './show/card/cardFolder.js';
export type { ChartFolderOptions, ChartFolderResult, FolderOptions } from './show/cli/chartFolder.js';
export type { CardFolderOptions, CardFolderResult } from './show/card/cardFolder.js';
export type { Card } from './show/card/cardContent.js';

export { answersOf } from './tell/answersOf.js';
export { answerDocument } from './tell/answerDocument.js';
export { trustDocument } from './tell/trustDocument.js';
export { gaugesDocument } from './tell/gaugesDocument.js';
export { keeperDocument } from './tell/keeperDocument.js';
export { terminalText } from './show/text/terminalText.js';
export { markdownText } from './show/text/markdownText.js';
export type * from './tell/document.js';
export type { RunAnswer } from './tell/runAnswer.js';
export { chartCsv } from './show/text/chartCsv.js';
export { chartPage } from './show/page/renderPage.js';
export { plotlySource } from './show/cli/plotlySource.js';
export { issuesText } from './show/text/issuesText.js';
export { notUsedCsv } from './show/text/notUsedCsv.js';
export { writeOutputs } from './show/write/writeOutputs.js';

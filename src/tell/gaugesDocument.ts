import type { CreekGauges, LoggerReport, RunGauges, StaffRating, StaffReport } from '../chart/gauges/types.js';
import { counted, day, figures, fixed, hours, withI80 } from '../series/format.js';
import { unitLabel } from '../series/units.js';
import { heading, list, rows, says, type Block, type Document } from './document.js';
import * as tables from './tables/gaugeTables.js';
import { nearestIndex } from './tables/nearestIndex.js';
import { thinned } from './trustDocument.js';

/** Which gauge to read for each run of a creek, and what its loggers, lags and staffs tell. */
export function gaugesDocument(gauges: CreekGauges): Document {
  return {
    kind: 'document',
    subject: 'gauges',
    title: `Gauges, loggers and staffs of ${gauges.creek.name}`,
    cautions: gauges.cautions,
    body: gauges.runs.flatMap((run) => {
      const body = gaugeBlocks(run, gauges.creek.timeZone);
      return body.length === 0 ? [] : [heading(2, run.name, run.id), ...body];
    }),
  };
}

/** One run's part. */
export function gaugeBlocks(run: RunGauges, timeZone: string): readonly Block[] {
  return [
    ...part('Which gauge to read', rankingBlocks(run)),
    ...run.loggers.flatMap((logger) => part(loggerTitle(logger, timeZone), loggerBlocks(logger, run))),
    ...part('Lag', [
      ...list(
        run.lags.flatMap(({ gaugeName, travel, flow }) => lagItem(gaugeName, [travel?.sentence, flow?.sentence])),
      ),
    ]),
    ...run.staffs.flatMap((staff) => part(`${staff.name} (${unitLabel(staff.unit)})`, staffBlocks(staff, run))),
  ];
}

function part(title: string, body: readonly Block[]): readonly Block[] {
  return body.length === 0 ? [] : [heading(3, title), ...body];
}

function rankingBlocks(run: RunGauges): readonly Block[] {
  const { ranking, noRanking } = run;
  if (ranking === null) return says(noRanking);
  const { warning, confirming, visits, floods, leadHours, choice } = ranking;
  const when = leadHours === 0 ? '' : `, read ${counted(leadHours, 'hour')} before`;
  return [
    ...says(choice.sentence),
    ...says(
      `Scored on floods left out${when}, over ${counted(visits, 'visit')} in ${counted(floods, 'flood')} that all share.`,
    ),
    ...(warning.length === 0 ? says('None can be read before going.', 'refusal') : []),
    ...rows(tables.candidatesTable(run)),
    ...list([...warning, ...confirming].map(({ name, reason }) => `${name}: ${reason}`)),
    ...rows(tables.asideTable(run)),
    ...rows(tables.beatsTable(run)),
  ];
}

function loggerTitle({ name, unit, kmFromPutIn, fromMs, toMs }: LoggerReport, timeZone: string): string {
  const where = kmFromPutIn === null ? '' : `, ${fixed(kmFromPutIn, 1)} km from the put-in`;
  const dates = fromMs === null ? '' : `, ${day(fromMs, timeZone)} to ${day(toMs, timeZone)}`;
  return `${name} (${unitLabel(unit)}${where}${dates})`;
}

function loggerBlocks(logger: LoggerReport, run: RunGauges): readonly Block[] {
  if (logger.gauges.length === 0)
    return says(logger.fromMs === null ? 'None of its levels could be read.' : 'There is no gauge to hold it against.');
  const alone = { ...run, loggers: [logger] };
  return [
    ...rows(tables.loggersTable(alone)),
    ...list(
      logger.gauges.map(({ gaugeName, sentence, ccf, withVisits }) =>
        [`${gaugeName}: ${sentence}`, ccf === null ? '' : ccfWords(ccf), withVisits?.sentence ?? '']
          .filter((t) => t !== '')
          .join(' '),
      ),
    ),
    ...rows(tables.loggerEstimatesTable(alone)),
  ];
}

function ccfWords({
  lagsHours,
  correlation,
  band,
  peakLagHours,
}: NonNullable<LoggerReport['gauges'][number]['ccf']>): string {
  const peak = correlation[nearestIndex(lagsHours, peakLagHours)] ?? null;
  const how = peak === null ? '' : ` (correlation ${fixed(peak, 2)})`;
  return (
    `The changes of both agree most at a lag of ${hours(peakLagHours)}${how}; two unrelated rivers of the ` +
    `same memory stay within ${fixed(band, 2)}.`
  );
}

function lagItem(gaugeName: string, sentences: readonly (string | undefined)[]): readonly string[] {
  const said = sentences.filter((text) => text !== undefined && text !== '');
  return said.length === 0 ? [] : [`${gaugeName}: ${said.join(' ')}`];
}

/** Rows of a staff's curve that are shown; all of them stand in gauges.json. */
const CURVE_ROWS = 6;

function staffBlocks(staff: StaffReport, run: RunGauges): readonly Block[] {
  const alone = (rating?: StaffRating) => ({
    ...run,
    staffs: [rating === undefined ? staff : { ...staff, gauges: [rating] }],
  });
  return [
    ...says(staff.sentence),
    ...rows(tables.staffClassesTable(alone())),
    ...rows(tables.staffRatingsTable(alone())),
    ...staff.gauges.flatMap((rating) => {
      const curve = tables.staffCurveTable(alone(rating));
      const met = rating.points.map(({ gaugeValue }) => gaugeValue);
      const inside = curve.rows.filter(({ value }) => value >= Math.min(...met) && value <= Math.max(...met));
      return [
        ...says(
          `By ${rating.gaugeName}, ${counted(rating.points.length, 'visit')}: ${ratingWords(rating, staff.unit)}`,
        ),
        ...rows(thinned({ ...curve, rows: inside }, CURVE_ROWS)),
      ];
    }),
  ];
}

function ratingWords({ formSentence, upper, unit, noiseSentence, offset }: StaffRating, staffUnit: string): string {
  const meet =
    upper === null
      ? ''
      : `The two curves meet at ${figures(upper.from)} ${unitLabel(unit)}; above it the exponent is ${withI80(upper.exponent)}.`;
  const no =
    offset === null ? '' : `${offset.sentence} 95 % sure: below ${figures(offset.below95)} ${unitLabel(staffUnit)}.`;
  return [formSentence, meet, noiseSentence, no].filter((text) => text !== '').join(' ');
}

import type { LoggerReport, RunGauges, StaffReport } from '../../chart/gauges/types.js';
import type { RankedGauge } from '../../judge/gauges/types.js';
import { unitLabel } from '../../series/units.js';
import { breakWords, combinedColumns, loggerDates, meanSeen, rankedCells } from './gaugeTexts.js';
import { edgeTexts, type UnitsChoice } from './inUnits.js';
import { headRows, md, tableRow } from './markdownText.js';
import { tidyCellText } from './tidyText.js';
import { plural } from './trustTexts.js';

/**
 * Which gauge to read for a run, and what its loggers, lags and staffs tell, as a part of chart.md: every candidate with its reason, a combined gauge's edges, a list a
 * logger, a lag and a staff. Texts are escaped.
 * @returns Markdown lines; none where there is nothing to say.
 */
export function gaugesMarkdown(
  run: RunGauges,
  { units = 'both', timeZone }: { units?: UnitsChoice; timeZone: string },
): readonly string[] {
  return [
    ...rankingLines(run),
    ...combinedLines(run, units),
    ...part(
      '#### Loggers',
      run.loggers.flatMap((logger) => loggerItems(logger, timeZone)),
    ),
    ...part('#### Lag', lagItems(run)),
    ...run.staffs.flatMap(staffLines),
  ];
}

function part(heading: string, lines: readonly string[]): readonly string[] {
  return lines.length === 0 ? [] : [heading, '', ...lines, ''];
}

function rankingLines({ ranking, noRanking, chosenCaution }: RunGauges): readonly string[] {
  if (ranking === null) return noRanking === null ? [] : part('### Which gauge to read', [md(noRanking)]);
  const { warning, confirming, aside, choice, visits, floods, leadHours } = ranking;
  const when = leadHours === 0 ? '' : `, read ${plural(leadHours, 'hour')} before`;
  return part('### Which gauge to read', [
    `**${md(choice.sentence)}**${chosenCaution === null ? '' : ` ${md(chosenCaution)}`}`,
    '',
    `Skill on floods left out${when}, over ${plural(visits, 'visit')} in ${plural(floods, 'flood')} that all share:`,
    '',
    ...(warning.length === 0 ? ['None can be read before going.'] : listLines(warning)),
    ...(confirming.length === 0 ? [] : ['', 'Only confirm afterwards:', '', ...listLines(confirming)]),
    ...(aside.length === 0
      ? []
      : ['', 'Stand aside:', '', ...aside.map(({ name, reason }) => `- **${md(name)}:** ${md(reason)}`)]),
  ]);
}

function listLines(rows: readonly RankedGauge[]): readonly string[] {
  const others = rows.length > 1;
  return [
    ...headRows(['', 'Gauge', 'Skill', '80 %', ...(others ? ['Best'] : []), 'Lag', 'Reason']),
    ...rows.map((row) => {
      const { skill, range, best, lag } = rankedCells(row);
      return tableRow([`${row.rank}`, md(row.name), skill, range, ...(others ? [md(best)] : []), lag, md(row.reason)]);
    }),
  ];
}

function combinedLines({ combined }: RunGauges, units: UnitsChoice): readonly string[] {
  if (combined === null) return [];
  const columns = combinedColumns(combined.unit, units);
  return part('#### How to read the chosen gauge', [
    md(combined.howToRead),
    '',
    `**${md(`${meanSeen(combined, units)} ${combined.caution}`)}**`,
    '',
    ...headRows(['Edge on the mean', ...columns.map(({ label }) => label)], { right: 1 }),
    ...combined.edges.map((edge) =>
      tableRow([
        edge.between.map(md).join(' / '),
        ...columns.map((column) => {
          const { value, interval80 } = edgeTexts(edge, column);
          return `${value} (${interval80})${edge.seenBothSides ? '' : ' \\*'}`;
        }),
      ]),
    ),
  ]);
}

function loggerItems(logger: LoggerReport, timeZone: string): readonly string[] {
  const dates = loggerDates(logger, timeZone);
  const title = `- **${md(logger.name)}**${dates === '' ? '' : ` (${dates})`}`;
  if (logger.gauges.length === 0)
    return [
      `${title}: ${logger.fromMs === null ? 'none of its levels could be read.' : 'no gauge to hold it against.'}`,
    ];
  return [
    `${title}:`,
    ...logger.gauges.map(({ gaugeName, sentence, withVisits }) => {
      const sentences = [sentence, withVisits?.sentence].filter((text) => text !== undefined);
      return `  - **${md(gaugeName)}:** ${sentences.map((text) => md(text)).join(' ')}`;
    }),
  ];
}

function lagItems({ lags }: RunGauges): readonly string[] {
  return lags.flatMap(({ gaugeName, travel, flow }) => {
    const sentences = [travel?.sentence, flow?.sentence].filter((text) => text !== undefined && text !== '');
    return sentences.length === 0 ? [] : [`- **${md(gaugeName)}:** ${sentences.map((text) => md(text!)).join(' ')}`];
  });
}

function staffLines({ name, unit, classes, gauges, sentence }: StaffReport): readonly string[] {
  const seen = classes.filter(({ readings }) => readings.length > 0);
  return part(`#### ${md(name)}`, [
    md(sentence),
    ...(seen.length === 0
      ? []
      : ['', ...headRows(['Class', 'Visits', `Lowest, ${md(unit)}`, 'Median', 'Highest'], { right: 1 })]),
    ...seen.map(({ word, readings, median }) =>
      tableRow([
        md(word),
        String(readings.length),
        tidyCellText(Math.min(...readings)),
        tidyCellText(median),
        tidyCellText(Math.max(...readings)),
      ]),
    ),
    ...(gauges.length === 0 ? [] : ['']),
    ...gauges.map((rating) => {
      const { gaugeName, formSentence, noiseSentence, offset } = rating;
      const all = [formSentence, breakWords(rating), noiseSentence, offset?.sentence];
      const sentences = all.filter((text) => text !== undefined);
      return `- **${md(gaugeName)}** (${unitLabel(rating.unit)}): ${sentences.map((text) => md(text!)).join(' ')}`;
    }),
  ]);
}

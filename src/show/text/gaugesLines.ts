import type { RunGauges } from '../../chart/gauges/types.js';
import { listed } from '../../judge/judgeWords.js';
import { combinedEdges, loggerLine, meanSeen, rankedRows, shortList, travelDoubts } from './gaugeTexts.js';
import type { UnitsChoice } from './inUnits.js';
import { plural } from './trustTexts.js';
import { wrapText } from './wrapText.js';

/** Candidates that the short list shows at most, besides the chosen one. */
const MOST_CANDIDATES = 5;

/**
 * Which gauge to read for a run, in a few lines for a terminal: the best candidates beside each other, the choice, how to read it where it is a combined one (which has
 * no chart of its own), a line a logger, and a lag that does not go with the distance. `gaugesReport` has all of it.
 *
 * @param run one run of gauges.json, its texts made plain. @param options.units of a combined gauge's edges; default both.
 * @returns lines without codes for colour; none where there is nothing to say.
 */
export function gaugesLines(
  run: RunGauges,
  { width, indent = '', units = 'both' }: { width: number; indent?: string; units?: UnitsChoice },
): readonly string[] {
  const wrap = (text: string, first = indent): string[] => wrapText(text, { width, first });
  const dash = `${indent}- `;
  return [
    ...rankingLines(run, { width, indent }),
    ...(run.chosenCaution === null ? [] : wrap(run.chosenCaution)),
    ...(run.combined === null
      ? []
      : [
          ...wrap(run.combined.howToRead),
          ...wrap(`${meanSeen(run.combined, units)} ${run.combined.caution}`),
          ...combinedEdges(run.combined, units).flatMap((line) => wrap(line, `${indent}  `)),
        ]),
    ...run.loggers.flatMap((logger) => wrap(loggerLine(logger), dash)),
    ...travelDoubts(run).flatMap((doubt) => wrap(doubt, dash)),
  ];
}

function rankingLines(
  { ranking, noRanking }: RunGauges,
  { width, indent }: { width: number; indent: string },
): readonly string[] {
  const wrap = (text: string): string[] => wrapText(text, { width, first: indent });
  if (ranking === null) return noRanking === null ? [] : wrap(noRanking);
  const { warning, confirming, aside, choice, visits, floods, leadHours } = ranking;
  const { shown, left } = shortList(warning, { chosen: choice.id, most: MOST_CANDIDATES });
  const when = leadHours === 0 ? '' : `, read ${plural(leadHours, 'hour')} before`;
  const named = (label: string, list: readonly { readonly name: string }[]): string[] =>
    list.length === 0 ? [] : [`${label}: ${listed(list.map(({ name }) => name))}.`];
  const rest = [
    ...(left === 0 ? [] : [`${left} more in "sightstage gauges".`]),
    ...named('Only confirm afterwards', confirming),
    ...named('Stand aside', aside),
  ];
  return [
    ...wrap(`Which gauge${when}? (${plural(visits, 'visit')} in ${plural(floods, 'flood')} that all share)`),
    ...rankedRows(shown, { width, indent }),
    ...(rest.length === 0 ? [] : wrap(rest.join(' '))),
    ...wrap(choice.sentence),
  ];
}

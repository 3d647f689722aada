import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import { rankedRows } from './gaugeTexts.js';
import { plainStrings } from './plainText.js';
import { wrapText } from './wrapText.js';

/**
 * The gauges of a run, best first, as text for a terminal: those to be read before going, those that only confirm, those that stand aside, a reason each, and the choice.
 *
 * @param ranking from `rankGauges`. @param options.width columns; default 80. @param options.indent before every line; default none.
 * @param options.cautions false where the cautions stand at the end of the whole output already; default true.
 * @returns lines without codes for colour.
 */
export function rankingTable(
  ranking: GaugeRanking,
  { width = 80, indent = '', cautions = true }: { width?: number; indent?: string; cautions?: boolean } = {},
): readonly string[] {
  const { warning, confirming, aside, choice, visits, floods, leadHours } = plainStrings(ranking);
  const wrap = (text: string, first = indent, rest = indent): string[] => wrapText(text, { width, first, rest });
  const list = (rows: readonly RankedGauge[]): string[] => [
    ...rankedRows(rows, { width, indent }),
    ...rows.flatMap(({ rank, reason }) => wrap(reason, `${indent}${rank}. `, `${indent}   `)),
  ];
  const plan = leadHours === 0 ? 'at the moment of going' : `${leadHours} h before going`;
  return [
    ...wrap(`Gauges read ${plan}, over ${visits} visits and ${floods} floods that all share`),
    ...(warning.length > 0 ? list(warning) : wrap('None can be read before going.')),
    ...(confirming.length > 0 ? [...wrap('Only confirm afterwards'), ...list(confirming)] : []),
    ...(aside.length > 0
      ? [
          ...wrap('Stand aside'),
          ...aside.flatMap(({ name, reason }) => wrap(`${name}: ${reason}`, `${indent}- `, `${indent}  `)),
        ]
      : []),
    ...wrap(choice.sentence),
    ...(cautions ? ranking.cautions.flatMap((caution) => wrap(caution, `${indent}! `, `${indent}  `)) : []),
  ];
}

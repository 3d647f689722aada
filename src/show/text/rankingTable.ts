import type { GaugeRanking, RankedGauge } from '../../judge/gauges/types.js';
import { plainTable } from './plainTable.js';
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
    ...plainTable(
      [
        { heading: 'Gauge' },
        { heading: 'skill', right: true },
        { heading: '80 %', right: true },
        { heading: 'best', right: true },
        { heading: 'lag', right: true },
      ],
      rows.map(({ rank, name, skill, best, lagHours }) => [
        `${rank}. ${name}`,
        hundredths(skill.againstFrequencies),
        skill.againstFrequencies80.map((end) => (end === null ? '-' : hundredths(end))).join(' to '),
        `${Math.round(100 * best)} %`,
        `${Math.round(2 * lagHours) / 2} h`,
      ]),
      { width, indent },
    ),
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

function hundredths(value: number): string {
  const text = value.toFixed(2);
  return text === '-0.00' ? '0.00' : text;
}

import { valueText } from '../../../chart/figures/valueText.js';
import type { EdgeMove } from '../../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../../series/units.js';
import { table } from '../details.js';
import type { Html } from '../html.js';
import { fixed } from './numberText.js';

/** A move by more than this share of the edge's 80 % interval is flagged. */
export const MUCH = 0.25;

/** Edges of the verdict in another chart, flagged in words where one moves much. */
export function edgeMoves(
  caption: string,
  charts: readonly { readonly name: string; readonly edges: readonly EdgeMove[] }[],
  { unit, first }: { unit: GaugeUnit; first: string },
): Html {
  return table(
    caption,
    [first, 'Edge', `Now, ${unitLabel(unit)}`, 'Then', 'Move, in intervals', ''],
    charts.flatMap(({ name, edges }) =>
      edges.map(({ between, from, to, move }) => [
        name,
        betweenText(between),
        valueText(from),
        valueText(to),
        moveText(move),
        flag(move),
      ]),
    ),
  );
}

/** `too low | low`, each class kept on one line. */
export function betweenText(between: readonly [string, string]): string {
  return between.map((word) => word.replaceAll(' ', '\u00a0')).join(' | ');
}

/** `+0.31`: shares of the edge's 80 % interval. */
export function moveText(move: number): string {
  return `${Number(move.toFixed(2)) > 0 ? '+' : ''}${fixed(move, 2)}`;
}

export function flag(move: number): string {
  return Math.abs(move) > MUCH ? 'moves much' : '';
}

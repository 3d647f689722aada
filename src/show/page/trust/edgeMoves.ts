import { valueText } from '../../../chart/figures/valueText.js';
import type { EdgeMove } from '../../../judge/judgement.js';
import { unitLabel, type GaugeUnit } from '../../../series/units.js';
import { table } from '../details.js';
import type { Html } from '../html.js';
import { fixed } from './numberText.js';

/** A move by more than this share of the edge's 80 % interval is flagged. */
export const MUCH = 0.25;

/** Edges of the verdict in other charts, a row each: where each edge would go, its move in brackets, and in words which move much. */
export function edgeMoves(
  caption: string,
  charts: readonly { readonly name: string; readonly edges: readonly EdgeMove[] }[],
  { unit, first }: { unit: GaugeUnit; first: string },
): Html {
  const now = new Map(
    charts.flatMap(({ edges }) => edges.map((edge) => [betweenText(edge.between), edge.from] as const)),
  );
  const names = [...now.keys()];
  return table(
    `${caption}: edges in ${unitLabel(unit)}, in brackets the move in shares of the edge’s 80 % interval`,
    [first, ...names, 'Moves much'],
    [
      ['the chart as it is', ...names.map((name) => valueText(now.get(name)!)), ''],
      ...charts.map(({ name, edges }) => [
        name,
        ...names.map((between) => {
          const edge = edges.find((one) => betweenText(one.between) === between);
          return edge === undefined ? 'none' : `${valueText(edge.to)} (${moveText(edge.move)})`;
        }),
        edges
          .filter(({ move }) => Math.abs(move) > MUCH)
          .map(({ between }) => betweenText(between))
          .join(', '),
      ]),
    ],
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

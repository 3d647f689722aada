import { dotRows, type DotGroup } from './dotRows.js';
import type { Figure } from './figure.js';
import { percentAxis } from './percentAxis.js';

/**
 * Rows of skills in percent on the one axis that all figures of skill share: the guesswork taken away, from no better than guessing to always right.
 * Far below zero all are equally useless: the axis shows the part where it matters.
 */
export function skillRows(groups: readonly DotGroup[]): Pick<Figure, 'data' | 'layout' | 'narrow'> {
  const ends = groups
    .flatMap(({ rows }) => rows.flatMap(({ value, i80 }) => [value, ...i80]))
    .filter((end): end is number => end !== null);
  const from = Math.max(-100, Math.min(-5, ...ends.map((end) => end - 4)));
  const to = Math.min(103, Math.max(40, ...ends) + 6);
  return dotRows(groups, {
    axis: (px, narrow) =>
      percentAxis(
        { from: from / 100, to: to / 100 },
        { px, title: narrow ? 'guesswork taken away, %' : 'guesswork taken away, % (100: always right)' },
      ),
    range: [from, to],
    zero: { at: 0, label: 'no better' },
  });
}

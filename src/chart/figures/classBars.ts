import { classPalette, INK, INK_SOFT, PAPER } from '../palette.js';
import type { PlotlyObject } from './figure.js';
import { plotlyText } from './plotlyText.js';
import { LEGEND_CHARS } from './topLegend.js';

/** Columns 0, 1, … stacked by class, lowest class at the bottom, each class in its looks; whatever has no class stands on top, white. */
export function classBars(
  words: readonly string[],
  { heights, rest }: { heights: readonly (readonly number[])[]; rest: { word: string; heights: readonly number[] } },
): { readonly names: readonly string[]; readonly data: readonly PlotlyObject[] } {
  const looks = classPalette(words.length);
  const rows = [...words.map((_, k) => heights.map((column) => column[k]!)), rest.heights];
  const names = [...words, rest.word].map((word) => plotlyText(word, { maxChars: LEGEND_CHARS }));
  const data = rows.map((y, k) => ({
    type: 'bar',
    name: names[k]!,
    x: y.map((_, column) => column),
    y,
    base: y.map((_, column) => rows.slice(0, k).reduce((sum, row) => sum + row[column]!, 0)),
    width: 0.8,
    marker:
      k === words.length
        ? { color: PAPER, line: { color: INK_SOFT, width: 1 } }
        : {
            color: looks[k]!.fill,
            pattern: { ...looks[k]!.pattern, fgcolor: looks[k]!.mark, bgcolor: looks[k]!.fill },
            line: { color: INK, width: 1 },
          },
    hovertemplate: '%{y}<extra></extra>',
  }));
  return { names, data };
}

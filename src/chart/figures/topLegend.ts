import { charPx, type PlotlyObject } from './figure.js';

const FONT = 12;
/** A mark, the gap to its word and the gap to the next entry. */
const ENTRY_PX = 46;
const ROW_PX = 20;
/** Longest word of an entry. */
export const LEGEND_CHARS = 16;

/**
 * A legend in rows above the plot, for pictures in which things of one kind lie scattered and cannot carry a label each.
 *
 * @param words of the entries. @param options.px room from the plot's left edge to the picture's right.
 * @returns keys of the layout, and the height that its rows take above the plot, px.
 */
export function topLegend(
  words: readonly string[],
  { px }: { px: number },
): { readonly layout: PlotlyObject; readonly height: number } {
  // Entries stand in columns as wide as the longest.
  const entry = ENTRY_PX + charPx(FONT) * Math.max(1, ...words.map((word) => Math.min(LEGEND_CHARS, word.length)));
  const rows = Math.ceil(words.length / Math.max(1, Math.floor(px / entry)));
  return {
    height: ROW_PX * rows,
    layout: {
      showlegend: true,
      legend: {
        orientation: 'h',
        x: 0,
        y: 1.01,
        yanchor: 'bottom',
        font: { size: FONT },
        itemclick: false,
        itemdoubleclick: false,
      },
    },
  };
}

import { significant } from '../../series/format.js';
import { INK, INK_SOFT, PAPER, RULE } from '../palette.js';

/** A plotly trace or layout as plain data; this room knows the shapes and never loads the library. */
export type PlotlyObject = Readonly<Record<string, unknown>>;

/** One picture: what plotly needs, and the same in words for who can't see it. */
export interface Figure {
  readonly kind: 'figure';
  /** Plain text, not escaped. */
  readonly title: string;
  /** What the picture says, from its own numbers. Plain text, not escaped. */
  readonly alt: string;
  readonly data: readonly PlotlyObject[];
  /** For 600 px and more. */
  readonly layout: PlotlyObject;
  /** For a phone (about 360 px): replaces keys of `layout` one by one. */
  readonly narrow: PlotlyObject;
}

/** Puts a figure together; the house style lies under both of its layouts. */
export function figureOf(
  { title, alt }: Pick<Figure, 'title' | 'alt'>,
  data: readonly PlotlyObject[],
  layout: (narrow: boolean) => PlotlyObject,
): Figure {
  return { kind: 'figure', title, alt, data, layout: baseLayout(layout(false)), narrow: baseLayout(layout(true)) };
}

/** Widths a figure plans its labels for: the whole picture in px. */
export const WIDE_PX = 720;
export const NARROW_PX = 350;

/** Width of the plot itself between its margins, px, in either form of a picture. */
export function plotPx(narrow: boolean, { l, r }: { readonly l: number; readonly r: number }): number {
  return (narrow ? NARROW_PX : WIDE_PX) - l - r;
}

/** The system's own typeface: nothing is loaded. */
export const FONT_STACK = 'system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", sans-serif';
export const FONT_PX = 13;
/** Rough width of a character at a font size, for planning labels without a canvas; on the generous side. */
export const charPx = (fontPx: number): number => 0.6 * fontPx;

/** Left margin that holds the longest of these labels, px. */
export function labelMargin(labels: readonly string[], { most = Infinity }: { most?: number } = {}): number {
  return Math.ceil(charPx(12) * Math.max(0, ...labels.map(({ length }) => Math.min(most, length)))) + 18;
}

/** What all figures share: paper, type, no zoom by accident on a phone, no legend. */
export function baseLayout(layout: PlotlyObject): PlotlyObject {
  const font = { family: FONT_STACK, size: FONT_PX, color: INK };
  return {
    paper_bgcolor: PAPER,
    plot_bgcolor: PAPER,
    font,
    showlegend: false,
    dragmode: false,
    hovermode: 'closest',
    hoverdistance: 24,
    hoverlabel: { bgcolor: PAPER, bordercolor: INK, font, align: 'left' },
    ...layout,
  };
}

/** An axis in the house style; `axis` adds to it or overrides it. */
export function axisStyle(axis: PlotlyObject): PlotlyObject {
  return {
    fixedrange: true,
    zeroline: false,
    showline: true,
    linecolor: INK_SOFT,
    linewidth: 1,
    gridcolor: RULE,
    gridwidth: 1,
    ticks: 'outside',
    ticklen: 4,
    tickcolor: INK_SOFT,
    tickfont: { size: 12, color: INK },
    ...axis,
  };
}

/** An axis title: escaped text. */
export function axisTitle(text: string, standoff = 8): PlotlyObject {
  return { text, standoff, font: { size: FONT_PX, color: INK } };
}

/** An axis of words: one a row, `at` their places. */
export function wordAxis(words: readonly string[], at: readonly number[], axis: PlotlyObject): PlotlyObject {
  return axisStyle({ tickvals: at, ticktext: words, ticks: '', showgrid: false, ...axis });
}

/** Numbers for drawing carry five digits: nobody sees more, and the page stays small. */
export function drawn(value: number): number {
  return significant(value, 5);
}

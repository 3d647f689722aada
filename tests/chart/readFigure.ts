import { charPx, FONT_PX, type Figure, type PlotlyObject } from '../../src/chart/figures/figure.js';
import { figures } from '../../src/series/format.js';
import * as palette from '../../src/chart/palette.js';

/** What a test reads off a figure: axes, colours, marks, the numbers drawn and where its texts lie. */

export interface Axis extends PlotlyObject {
  readonly type?: string;
  readonly title?: { readonly text?: string };
  readonly tickvals?: readonly unknown[];
  readonly ticktext?: readonly string[];
  readonly range?: readonly [number, number];
  readonly domain?: readonly [number, number];
}

export function axesOf(layout: PlotlyObject): readonly (readonly [string, Axis])[] {
  return Object.entries(layout).filter(([key]) => /^[xy]axis\d*$/.test(key)) as [string, Axis][];
}

/** An axis without numbers: words at its marks, or no labels at all. */
export function carriesWords({ ticktext, showticklabels, visible }: Axis): boolean {
  if (visible === false || showticklabels === false) return true;
  return ticktext !== undefined && ticktext.every((text) => !/\d/.test(text) || /[a-z]{3}/i.test(text));
}

/** Every value with the keys that lead to it. */
export function* walk(value: unknown, path: string): Generator<readonly [string, unknown]> {
  yield [path, value];
  if (typeof value === 'object' && value !== null)
    for (const [key, inner] of Object.entries(value)) yield* walk(inner, `${path}.${key}`);
}

const CLASSES = palette.classPalette(5);

/** Every colour that palette.ts has. */
export const COLOURS: ReadonlySet<string> = new Set(
  [...walk([{ ...palette }, Array.from({ length: 9 }, (_, k) => palette.classPalette(k + 1))], '')].flatMap(
    ([, value]) => (isColour(value) ? [value] : []),
  ),
);

export function isColour(value: unknown): value is string {
  return typeof value === 'string' && /^(#[0-9a-f]{3,8}|rgba?\(.*\))$/i.test(value);
}

/** CIE L*, 0 to 100, of a colour without its hue. Source: CIE 15, with the relative luminance of WCAG 2.2 by way of its contrast to black. */
export function lightness(hex: string): number {
  const luminance = palette.contrast(hex, '#000000') * 0.05 - 0.05;
  return luminance > 216 / 24389 ? 116 * Math.cbrt(luminance) - 16 : (24389 / 27) * luminance;
}

/** A fill or marker in the colour of one of five classes: the class, and the pattern and symbol that it is drawn with. */
export function classMark(
  part: unknown,
):
  | { readonly look: palette.ClassLook; readonly pattern?: string | undefined; readonly symbol?: string | undefined }
  | undefined {
  if (typeof part !== 'object' || part === null) return undefined;
  const { fillcolor, fillpattern, color, pattern, symbol } = part as Record<string, unknown>;
  const shapeOf = (value: unknown) => (value as { shape?: string } | undefined)?.shape;
  const look = CLASSES.find(({ fill }) => fill === (fillcolor ?? color));
  if (look === undefined) return undefined;
  return {
    look,
    pattern: shapeOf(fillcolor === undefined ? pattern : fillpattern),
    symbol: symbol as string | undefined,
  };
}

/** Lines that are drawn as lines: their colour, and all that tells them apart without it. */
export function linesOf({ data }: Figure): readonly { readonly colour: string; readonly shape: string }[] {
  return data.flatMap((trace) => {
    const line = (trace['line'] ?? {}) as { color?: string; width?: number; dash?: string };
    const lines = String(trace['mode'] ?? '').includes('lines') && trace['fill'] !== 'toself';
    if (!lines || trace['stackgroup'] !== undefined || !((line.width ?? 2) > 0)) return [];
    const { symbol } = (trace['marker'] ?? {}) as { symbol?: string };
    return [
      { colour: String(line.color), shape: JSON.stringify([line.dash ?? 'solid', line.width ?? 2, symbol ?? '']) },
    ];
  });
}

/** Every number of the data and of its labels, in the forms that people read it in. */
export function numbersDrawn({ data, layout }: Figure): ReadonlySet<string> {
  const found = new Set<string>();
  const add = (value: number) => {
    for (const v of [value, 100 * value, 100 * Math.expm1(Math.min(5, value))]) {
      const size = Math.abs(v);
      for (const text of [figures(size), figures(size, 2), size.toFixed(0), size.toFixed(2)]) found.add(text);
    }
  };
  for (const [, value] of walk([data, layout['annotations'], axesOf(layout).map(([, axis]) => axis.ticktext)], '')) {
    if (typeof value === 'number') add(value);
    if (typeof value === 'string') for (const text of numbersIn(value)) found.add(text);
    if (Array.isArray(value)) add(value.length);
  }
  // Visits stand in several traces, one a class.
  add(data.reduce((sum, trace) => sum + (trace['mode'] === 'markers' ? (trace['x'] as unknown[]).length : 0), 0));
  add(
    data.reduce(
      (sum, trace) => sum + (trace['type'] === 'bar' ? (trace['y'] as number[]).reduce((a, b) => a + b, 0) : 0),
      0,
    ),
  );
  return found;
}

export function numbersIn(text: string): readonly string[] {
  return text.match(/\d[\d\u202f]*(?:\.\d+)?/g) ?? [];
}

/** A text on the paper, px from its lower left corner. */
export interface Place {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

/** Width of a label's longest line, as figures plan it. */
function widthOf(text: string, fontPx: number): number {
  const seen = (line: string) => line.replace(/<[^>]*>/g, '').replace(/&[a-z]+;/g, '-').length;
  return charPx(fontPx) * Math.max(...text.split('<br>').map(seen));
}

/** The plot of a layout in a picture of `px` width: places of an axis or of the paper in px. */
function paperOf(layout: PlotlyObject, px: number) {
  const { l, r, t, b } = layout['margin'] as { l: number; r: number; t: number; b: number };
  const height = layout['height'] as number;
  const [across, up] = [px - l - r, height - t - b];
  const at = (reference: unknown, value: number, along: 'x' | 'y'): number => {
    const [start, length] = along === 'x' ? [l, across] : [b, up];
    if (reference === 'paper') return start + length * value;
    const axis = layout[String(reference).replace(/^([xy])/, '$1axis')] as Axis;
    const [from, to] = axis.domain ?? [0, 1];
    const range = axis.range ?? [0, 1];
    return start + length * (from + ((to - from) * (value - range[0])) / (range[1] - range[0]));
  };
  return { height, left: l, right: px - r, bottom: b, at };
}

/** Where the annotations lie. */
export function notesOf(layout: PlotlyObject, px: number): readonly Place[] {
  const paper = paperOf(layout, px);
  return ((layout['annotations'] ?? []) as readonly PlotlyObject[]).flatMap((note) => {
    const { text, x, y, xref, yref, xanchor, yanchor, textangle, font } = note as Record<string, unknown>;
    if (typeof x !== 'number' || typeof y !== 'number') return [];
    const size = (font as { size?: number }).size ?? FONT_PX;
    const [long, thick] = [widthOf(String(text), size), 1.2 * size * String(text).split('<br>').length];
    const [wide, high] = Math.abs(Number(textangle ?? 0)) === 90 ? [thick, long] : [long, thick];
    const shares: Readonly<Record<string, number>> = { left: 0, right: 1, bottom: 0, top: 1 };
    const left = paper.at(xref, x, 'x') + Number(note['xshift'] ?? 0) - wide * (shares[String(xanchor)] ?? 0.5);
    const low = paper.at(yref, y, 'y') + Number(note['yshift'] ?? 0) - high * (shares[String(yanchor)] ?? 0.5);
    return [{ text: String(text), left, right: left + wide, low, high: low + high }];
  });
}

/** What has to lie within what: titles and annotations within the picture, labels of a side axis beside its title, labels of an axis apart. */
export function placesOf(
  layout: PlotlyObject,
  px: number,
): readonly {
  readonly text: string;
  readonly from: number;
  readonly to: number;
  readonly room: readonly [number, number];
}[] {
  const paper = paperOf(layout, px);
  const found: { text: string; from: number; to: number; room: readonly [number, number] }[] = [];
  for (const note of notesOf(layout, px)) {
    found.push({ text: note.text, from: note.left, to: note.right, room: [0, px] });
    found.push({ text: note.text, from: note.low, to: note.high, room: [0, paper.height] });
  }
  for (const [key, axis] of axesOf(layout)) {
    const id = key.replace('axis', '');
    const across = key.startsWith('x');
    const title = axis.title?.text;
    const [from, to] = axis.domain ?? [0, 1];
    const along = across ? 'x' : 'y';
    if (title !== undefined && axis['visible'] !== false) {
      const middle = paper.at('paper', (from + to) / 2, along);
      const half = widthOf(title, FONT_PX) / 2;
      found.push({ text: title, from: middle - half, to: middle + half, room: [0, across ? px : paper.height] });
    }
    if (axis.ticktext === undefined || axis['showticklabels'] === false) continue;
    const labels = axis.ticktext.map((text, i) => ({ text, value: Number(axis.tickvals![i]) }));
    if (!across) {
      // A title turned upright needs a line of its own.
      const edge = title === undefined ? 0 : FONT_PX + 2;
      for (const { text } of labels)
        found.push({ text, from: paper.left - 7 - widthOf(text, 12), to: paper.left - 7, room: [edge, paper.left] });
      continue;
    }
    const placed = labels.map(({ text, value }) => {
      const at = paper.at(id, axis.type === 'log' ? Math.log10(value) : value, along);
      return { text, from: at - widthOf(text, 12) / 2, to: at + widthOf(text, 12) / 2 };
    });
    for (const [i, label] of placed.entries()) found.push({ ...label, room: [i === 0 ? 0 : placed[i - 1]!.to, px] });
  }
  return found;
}

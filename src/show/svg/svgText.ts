import { FONT_STACK } from '../../chart/figures/figure.js';
import { INK } from '../../chart/palette.js';
import { attributes, px } from './paint.js';

/** Average width of a character over its size: for the paper behind a label, not for setting type. */
const WIDTH_SHARE = 0.54;

export interface LabelOptions {
  readonly size?: number;
  readonly colour?: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  /** Degrees, clockwise. */
  readonly angle?: number;
  /** Colour of the paper behind the label. */
  readonly behind?: string | undefined;
  readonly pad?: number;
}

/**
 * A label in plotly's small HTML (escaped text with <b> and <br>) as SVG, its middle line at y.
 * The text must have passed `plotlyText`, or be our own words.
 */
export function svgLabel(
  text: string,
  { x, y }: { x: number; y: number },
  { size = 13, colour = INK, anchor = 'middle', angle = 0, behind, pad = 1 }: LabelOptions = {},
): string {
  const lines = text.split('<br>');
  const turn = angle === 0 ? undefined : `rotate(${px(angle)} ${px(x)} ${px(y)})`;
  const height = 1.2 * size;
  const top = y - ((lines.length - 1) * height) / 2;
  const style = { 'font-size': size, fill: colour, 'text-anchor': anchor, transform: turn };
  const width = textPx(text, size);
  const left = anchor === 'middle' ? x - width / 2 : anchor === 'end' ? x - width : x;
  const box =
    behind === undefined
      ? ''
      : `<rect${attributes({
          x: left - pad,
          y: top - height / 2 - pad,
          width: width + 2 * pad,
          height: lines.length * height + 2 * pad,
          fill: behind,
          transform: turn,
        })}/>\n`;
  const written = lines.map((line, i) => {
    const bold = line.replaceAll('<b>', '<tspan font-weight="700">').replaceAll('</b>', '</tspan>');
    return `<text${attributes({ x, y: top + i * height + 0.35 * size, ...style })}>${bold}</text>\n`;
  });
  return box + written.join('');
}

/** Width of a label's longest line, px, on average. */
export function textPx(text: string, size: number): number {
  return Math.max(...text.split('<br>').map(plainLength)) * WIDTH_SHARE * size;
}

/** Characters that are seen of a line: entities count as one, elements as none. */
export function plainLength(line: string): number {
  return line.replace(/<[^>]*>/g, '').replace(/&[a-z]+;/g, '-').length;
}

/** Attributes of the whole picture's type. */
export const SVG_FONT = attributes({ 'font-family': FONT_STACK.replaceAll('"', "'") });

import type { Interval } from '../../judge/types.js';
import { ACCENT, INK, PAPER } from '../palette.js';
import { drawn, figureOf, labelMargin, plotPx, wordAxis, type Figure, type PlotlyObject } from './figure.js';
import { markTrace, note, ruleUp, whiskers } from './marks.js';
import { plotlyText } from './plotlyText.js';

/** One quantity with its intervals, in the axis's own numbers. */
export interface DotRow {
  readonly label: string;
  readonly value: number;
  readonly i80: Interval;
  readonly i95?: Interval;
  /** Written to the right of the row where there is room. */
  readonly says: string;
  /** Three looks that differ without colour. */
  readonly mark?: 'full' | 'hollow' | 'square';
}

export interface DotGroup {
  /** A line of its own above the rows; none where left out. */
  readonly heading?: string;
  readonly rows: readonly DotRow[];
}

const ROW_PX = 27;
/** A line of a label that is longer than one. */
const LINE_PX = 15;
const TOP = 30;
const BOTTOM = 50;

/**
 * Rows of a dot on its intervals (thick line 80 %, thin line 95 %), in groups: what figures of measured numbers share.
 *
 * @param groups at least one row among them. @param options.axis the value axis for a width in px; its range bounds the lines.
 * @param options.zero the value to compare with, and what it means.
 */
export function dotRows(
  groups: readonly DotGroup[],
  {
    axis,
    range,
    zero,
    ...said
  }: Pick<Figure, 'title' | 'alt'> & {
    readonly axis: (px: number, narrow: boolean) => PlotlyObject;
    readonly range: readonly [number, number];
    readonly zero?: { readonly at: number; readonly label: string } | undefined;
  },
): Figure {
  const lines = groups.flatMap(({ heading, rows }) => [...(heading === undefined ? [] : [heading]), ...rows]);
  const top = lines.length - 1;
  const placed = lines.flatMap((line, i) => (typeof line === 'string' ? [] : [{ row: line, y: top - i }]));
  const headings = lines.flatMap((line, i) => (typeof line === 'string' ? [{ text: line, y: top - i }] : []));
  const beside = (text: string, place: PlotlyObject) =>
    note(text, { xref: 'paper', xanchor: 'left', bgcolor: PAPER, borderpad: 1, ...place });
  const data = placed.flatMap(({ row, y }) => rowTraces(row, { y, range }));
  return figureOf(said, data, (narrow) => {
    const room = narrow ? { maxChars: 18, most: 3 } : { maxChars: 30, most: 2 };
    const labels = placed.map(({ row }) => labelLines(row.label, room));
    const says = narrow ? [] : placed.map(({ row, y }) => ({ text: row.says, y }));
    const rowPx = Math.max(ROW_PX, 6 + LINE_PX * Math.max(...labels.map((label) => label.length)));
    // Of the texts as they are: entities take more characters than room.
    const margin = {
      l: labelMargin(labels.flat()),
      r: labelMargin(says.map(({ text }) => text)) - 2,
      t: TOP,
      b: BOTTOM,
    };
    return {
      height: rowPx * lines.length + TOP + BOTTOM,
      margin,
      xaxis: axis(plotPx(narrow, margin), narrow),
      yaxis: wordAxis(
        labels.map((label) => label.map((line) => plotlyText(line)).join('<br>')),
        placed.map(({ y }) => y),
        { range: [-0.6, top + 0.6] },
      ),
      shapes: zero === undefined ? [] : [ruleUp(zero.at)],
      annotations: [
        ...(zero === undefined ? [] : [zeroLabel(zero, range)]),
        ...headings.map(({ text, y }) => beside(`<b>${plotlyText(text)}</b>`, { x: 0, y, xshift: 4 - margin.l })),
        ...says.map(({ text, y }) => beside(text, { x: 1, y, xshift: 6 })),
      ],
    };
  });
}

/** What the dashed line means, above it and on the side that has more room. */
function zeroLabel(
  { at, label }: { readonly at: number; readonly label: string },
  [from, to]: readonly [number, number],
): PlotlyObject {
  const xanchor = at - from > 0.6 * (to - from) ? 'right' : 'left';
  return note(plotlyText(label), { x: at, y: 1.01, yref: 'paper', xanchor, yanchor: 'bottom' });
}

/** A label in lines of at most `maxChars`, broken between words; what needs more than `most` lines ends in an ellipsis. */
function labelLines(label: string, { maxChars, most }: { maxChars: number; most: number }): readonly string[] {
  const words = label.replace(/\s+/g, ' ').trim().split(' ');
  const lines: string[] = [];
  for (const [i, word] of words.entries()) {
    const longer = lines.length === 0 ? word : `${lines[lines.length - 1]!} ${word}`;
    if (lines.length > 0 && longer.length <= maxChars) lines[lines.length - 1] = longer;
    else if (lines.length < most) lines.push(word);
    else {
      lines[most - 1] = [lines[most - 1]!, ...words.slice(i)].join(' ');
      break;
    }
  }
  return lines.map((line) => (line.length > maxChars ? `${line.slice(0, maxChars - 1).trimEnd()}…` : line));
}

function rowTraces(
  { label, value, i80, i95, says, mark = 'full' }: DotRow,
  { y, range }: { y: number; range: readonly [number, number] },
): readonly PlotlyObject[] {
  const marker = {
    symbol: mark === 'square' ? 'square' : 'circle',
    size: 11,
    color: mark === 'full' ? ACCENT : PAPER,
    line: { color: INK, width: 2 },
  };
  const at = drawn(Math.min(range[1], Math.max(range[0], value)));
  return [
    ...whiskers({ i80, i95 }, y, { within: range }),
    markTrace([at], [y], { marker, text: [`${plotlyText(label, { maxChars: 40 })}: ${says}`] }),
  ];
}

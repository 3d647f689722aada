import type { Interval } from '../../judge/types.js';
import { ACCENT, INK, INK_SOFT, PAPER } from '../palette.js';
import { axisStyle, baseLayout, charPx, drawn, plotPx, type PlotlyObject } from './figure.js';
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
  }: {
    axis: (px: number, narrow: boolean) => PlotlyObject;
    range: readonly [number, number];
    zero?: { readonly at: number; readonly label: string } | undefined;
  },
): { readonly data: readonly PlotlyObject[]; readonly layout: PlotlyObject; readonly narrow: PlotlyObject } {
  const lines = groups.flatMap(({ heading, rows }) => [
    ...(heading === undefined ? [] : [{ heading }]),
    ...rows.map((row) => ({ row })),
  ]);
  const top = lines.length - 1;
  const placed = lines.flatMap((line, i) => ('row' in line ? [{ row: line.row, y: top - i }] : []));
  const headings = lines.flatMap((line, i) => ('heading' in line ? [{ text: line.heading, y: top - i }] : []));
  const layout = (narrow: boolean) => {
    const labels = placed.map(({ row }) =>
      labelLines(row.label, narrow ? { maxChars: 18, most: 3 } : { maxChars: 30, most: 2 }),
    );
    // Of the texts as they are: entities take more characters than room.
    const widest = (texts: readonly string[]) => charPx(12) * Math.max(0, ...texts.map((text) => text.length));
    const says = narrow ? [] : placed.map(({ row }) => row.says);
    const rowPx = Math.max(ROW_PX, 6 + LINE_PX * Math.max(...labels.map((label) => label.length)));
    const margin = {
      l: Math.ceil(widest(labels.flat())) + 18,
      r: Math.ceil(widest(says)) + 16,
      t: TOP,
      b: BOTTOM,
    };
    const px = plotPx(narrow, margin);
    return baseLayout({
      height: rowPx * lines.length + TOP + BOTTOM,
      margin,
      xaxis: axis(px, narrow),
      yaxis: axisStyle({
        range: [-0.6, top + 0.6],
        tickvals: placed.map(({ y }) => y),
        ticktext: labels.map((label) => label.map((line) => plotlyText(line)).join('<br>')),
        ticks: '',
        showgrid: false,
      }),
      shapes:
        zero === undefined
          ? []
          : [
              {
                type: 'line',
                xref: 'x',
                yref: 'paper',
                x0: zero.at,
                x1: zero.at,
                y0: 0,
                y1: 1,
                line: { color: INK_SOFT, width: 1.5, dash: 'dash' },
              },
            ],
      annotations: [
        ...(zero === undefined ? [] : [zeroLabel(zero, range)]),
        ...headings.map(({ text, y }) =>
          beside(`<b>${plotlyText(text)}</b>`, { x: 0, xanchor: 'left', xshift: 4 - margin.l, y }),
        ),
        ...placed.slice(0, says.length).map(({ row, y }) => beside(row.says, { x: 1, xanchor: 'left', y, xshift: 6 })),
      ],
    });
  };
  return {
    data: placed.flatMap(({ row, y }) => rowTraces(row, { y, range })),
    layout: layout(false),
    narrow: layout(true),
  };
}

/** What the dashed line means, above it and on the side that has more room. */
function zeroLabel(
  { at, label }: { readonly at: number; readonly label: string },
  [from, to]: readonly [number, number],
): PlotlyObject {
  return {
    x: at,
    y: 1.01,
    xref: 'x',
    yref: 'paper',
    xanchor: at - from > 0.6 * (to - from) ? 'right' : 'left',
    yanchor: 'bottom',
    text: plotlyText(label),
    showarrow: false,
    font: { size: 12, color: INK },
  };
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
      lines[most - 1] = `${[lines[most - 1]!, ...words.slice(i)].join(' ')}`;
      break;
    }
  }
  return lines.map((line) => (line.length > maxChars ? `${line.slice(0, maxChars - 1).trimEnd()}…` : line));
}

function beside(text: string, place: PlotlyObject): PlotlyObject {
  return {
    xref: 'paper',
    yref: 'y',
    text,
    showarrow: false,
    font: { size: 12, color: INK },
    bgcolor: PAPER,
    borderpad: 1,
    ...place,
  };
}

function rowTraces(
  { label, value, i80, i95, says, mark = 'full' }: DotRow,
  { y, range }: { y: number; range: readonly [number, number] },
): readonly PlotlyObject[] {
  const inside = (end: number | null, open: number) =>
    drawn(end === null ? open : Math.min(range[1], Math.max(range[0], end)));
  const line = (interval: Interval, width: number) => ({
    type: 'scatter',
    mode: 'lines',
    x: [inside(interval[0], range[0]), inside(interval[1], range[1])],
    y: [y, y],
    line: { color: INK, width },
    hoverinfo: 'skip',
  });
  return [
    ...(i95 === undefined ? [] : [line(i95, 1.5)]),
    line(i80, 5),
    {
      type: 'scatter',
      mode: 'markers',
      x: [inside(value, range[0])],
      y: [y],
      marker: {
        symbol: mark === 'square' ? 'square' : 'circle',
        size: 11,
        color: mark === 'full' ? ACCENT : PAPER,
        line: { color: INK, width: 2 },
      },
      text: [`${plotlyText(label, { maxChars: 40 })}: ${says}`],
      hovertemplate: '%{text}<extra></extra>',
    },
  ];
}

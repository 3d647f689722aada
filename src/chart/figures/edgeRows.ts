import { figures, fixed, range } from '../../series/format.js';
import { unitLabel } from '../../series/units.js';
import { INK, PAPER } from '../palette.js';
import type { Edge } from '../types.js';
import { charPx, drawn, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, clampTo, type GaugeScale } from './gaugeScale.js';
import { markTrace, note, ON_LINE, whiskers } from './marks.js';
import { plotlyText } from './plotlyText.js';

/** Edges one below the other, the lowest edge in the bottom row: thin line 95 %, thick line 80 %, mark at the median. */
export function edgeTraces(
  edges: readonly Edge[],
  scale: GaugeScale,
  { yaxis }: { yaxis: string },
): readonly PlotlyObject[] {
  return edges.flatMap((edge, row) => {
    // Hollow: the edge is an assumption, no visit stands on one side of it.
    const color = edge.seenBothSides ? INK : PAPER;
    const mark = (marker: PlotlyObject) =>
      markTrace([drawn(edge.median)], [row], { marker, text: [edgeHover(edge, scale)], yaxis });
    return [
      ...whiskers(edge, row, { within: [scale.from, scale.to], yaxis }),
      mark({ symbol: 'line-ns', size: 15, color: PAPER, line: { color, width: 4 } }),
      mark({ symbol: 'circle', size: 11, color, line: { color: INK, width: 2 } }),
    ];
  });
}

/** The two classes and the rounded value above each row, kept inside the paper. */
export function edgeLabels(
  edges: readonly Edge[],
  scale: GaugeScale,
  { px, yref, fontPx, short }: { px: number; yref: string; fontPx: number; short: boolean },
): readonly PlotlyObject[] {
  return edges.map((edge, row) => {
    const words = edge.between.map((word) => plotlyText(word, { maxChars: 14 })).join(' | ');
    const value = fixed(edge.rounded, edge.digits);
    const other = fixed(edge.roundedOther, edge.digitsOther);
    const unit = short ? '' : ` ${unitLabel(scale.unit)} (${other} ${unitLabel(scale.otherUnit)})`;
    const assumed = edge.seenBothSides ? '' : ' assumed';
    const width = charPx(fontPx) * (words.length + value.length + unit.length + assumed.length + 2);
    const at = Math.min(1, Math.max(0, axisShare(edge.median, scale))) * px;
    const left = Math.min(px - width - 2, Math.max(2, at - width / 2));
    return note(`${words}: <b>${value}</b>${unit}${assumed}`, {
      size: fontPx,
      x: axisPlace(clampTo(scale, edge.median), scale.kind),
      y: row,
      yref,
      xshift: Math.round(left + width / 2 - at),
      yshift: 15,
      ...ON_LINE,
      borderpad: 1,
    });
  });
}

const inFigures = (end: number) => figures(end);

function edgeHover(edge: Edge, scale: GaugeScale): string {
  return [
    edge.between.map((word) => plotlyText(word)).join(' | '),
    `median ${figures(edge.median)} ${unitLabel(scale.unit)}`,
    `80 %: ${range(edge.i80, inFigures)}`,
    `95 %: ${range(edge.i95, inFigures)}`,
    ...(edge.seenBothSides ? [] : ['assumed: no visit on one side']),
  ].join('<br>');
}

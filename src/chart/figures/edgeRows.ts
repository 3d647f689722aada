import { unitLabel } from '../../series/units.js';
import { INK, PAPER, VEIL } from '../palette.js';
import type { Edge } from '../types.js';
import { charPx, drawn, type PlotlyObject } from './figure.js';
import { axisPlace, axisShare, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { groupDigits, valueText } from './valueText.js';

/** Edges one below the other, the lowest edge in the bottom row: thin line 95 %, thick line 80 %, mark at the median. */
export function edgeTraces(
  edges: readonly Edge[],
  scale: GaugeScale,
  { yaxis }: { yaxis: string },
): readonly PlotlyObject[] {
  const inside = (value: number | null, end: number) =>
    drawn(value === null ? end : Math.min(scale.to, Math.max(scale.from, value)));
  return edges.flatMap((edge, row) => {
    const line = (interval: Edge['i80'], width: number) => ({
      type: 'scatter',
      mode: 'lines',
      x: [inside(interval[0], scale.from), inside(interval[1], scale.to)],
      y: [row, row],
      yaxis,
      line: { color: INK, width },
      hoverinfo: 'skip',
    });
    return [
      line(edge.i95, 1.5),
      line(edge.i80, 5),
      {
        type: 'scatter',
        mode: 'markers',
        x: [drawn(edge.median)],
        y: [row],
        yaxis,
        // Hollow: the edge is an assumption, no visit stands on one side of it.
        marker: {
          symbol: 'line-ns',
          size: 15,
          color: PAPER,
          line: { color: edge.seenBothSides ? INK : PAPER, width: 4 },
        },
        text: [edgeHover(edge, scale)],
        hovertemplate: '%{text}<extra></extra>',
      },
      {
        type: 'scatter',
        mode: 'markers',
        x: [drawn(edge.median)],
        y: [row],
        yaxis,
        marker: { symbol: 'circle', size: 11, color: edge.seenBothSides ? INK : PAPER, line: { color: INK, width: 2 } },
        text: [edgeHover(edge, scale)],
        hovertemplate: '%{text}<extra></extra>',
      },
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
    const words = edge.between.map((word) => plotlyText(word, { maxChars: 14 }));
    const value = groupDigits(edge.rounded.toFixed(edge.digits));
    const other = groupDigits(edge.roundedOther.toFixed(edge.digitsOther));
    const unit = short ? '' : ` ${unitLabel(scale.unit)} (${other} ${unitLabel(scale.otherUnit)})`;
    const text = `${words.join(' | ')}: <b>${value}</b>${unit}${edge.seenBothSides ? '' : ' assumed'}`;
    const width =
      charPx(fontPx) * (words.join(' | ').length + value.length + unit.length + (edge.seenBothSides ? 2 : 10));
    const at = Math.min(1, Math.max(0, axisShare(edge.median, scale))) * px;
    const left = Math.min(px - width - 2, Math.max(2, at - width / 2));
    return {
      x: axisPlace(Math.min(scale.to, Math.max(scale.from, edge.median)), scale.kind),
      y: row,
      xref: 'x',
      yref,
      xshift: Math.round(left + width / 2 - at),
      yshift: 15,
      text,
      showarrow: false,
      font: { size: fontPx, color: INK },
      bgcolor: VEIL,
      borderpad: 1,
    };
  });
}

function edgeHover(edge: Edge, scale: GaugeScale): string {
  const end = (value: number | null) => (value === null ? 'open' : valueText(value));
  const interval = (i: Edge['i80']) => `${end(i[0])} to ${end(i[1])}`;
  return [
    edge.between.map((word) => plotlyText(word)).join(' | '),
    `median ${valueText(edge.median)} ${unitLabel(scale.unit)}`,
    `80 %: ${interval(edge.i80)}`,
    `95 %: ${interval(edge.i95)}`,
    ...(edge.seenBothSides ? [] : ['assumed: no visit on one side']),
  ].join('<br>');
}

import { ACCENT, INK, INK_SOFT, VEIL } from '../palette.js';
import { drawn, type PlotlyObject } from './figure.js';

/**
 * A band between two lines, as closed outlines: one a stretch without a missing end, so that a gap stays a gap. What pictures of curves with intervals share.
 */
export function bandBetween(
  x: readonly number[],
  {
    low,
    high,
    fill,
    name,
  }: { low: readonly (number | null)[]; high: readonly (number | null)[]; fill: string; name: string },
): PlotlyObject {
  const outline: { at: number; y: number | null }[] = [];
  const whole = (i: number): boolean => Number.isFinite(low[i] ?? NaN) && Number.isFinite(high[i] ?? NaN);
  for (let start = 0; start < x.length; start++) {
    if (!whole(start)) continue;
    let end = start;
    while (end + 1 < x.length && whole(end + 1)) end++;
    // A height that is missing ends an outline; its place is a number all the same, so that columns of moments stay columns of moments.
    if (outline.length > 0) outline.push({ at: x[start]!, y: null });
    for (let i = start; i <= end; i++) outline.push({ at: x[i]!, y: drawn(high[i]!) });
    for (let i = end; i >= start; i--) outline.push({ at: x[i]!, y: drawn(low[i]!) });
    start = end;
  }
  return {
    type: 'scatter',
    mode: 'lines',
    x: outline.map((p) => p.at),
    y: outline.map((p) => p.y),
    fill: 'toself',
    fillcolor: fill,
    line: { color: fill, width: 0 },
    hoverinfo: 'skip',
    name,
  };
}

/** A curve; dashed where it is a formula and not an observation. */
export function curveLine(
  x: readonly number[],
  y: readonly (number | null)[],
  { dashed = false, yaxis = 'y', accent = false }: { dashed?: boolean; yaxis?: string; accent?: boolean } = {},
): PlotlyObject {
  return {
    type: 'scatter',
    mode: 'lines',
    x,
    y: y.map((v) => (v !== null && Number.isFinite(v) ? drawn(v) : null)),
    line: { color: accent ? ACCENT : INK, width: 2, ...(dashed && { dash: 'dash' }) },
    yaxis,
    hoverinfo: 'skip',
  };
}

/** Observations as rings with a text each. */
export function ringPoints(
  x: readonly number[],
  y: readonly number[],
  { text, yaxis = 'y' }: { text: readonly string[]; yaxis?: string },
): PlotlyObject {
  return {
    type: 'scatter',
    mode: 'markers',
    x: x.map(drawn),
    y: y.map(drawn),
    text,
    hovertemplate: '%{text}<extra></extra>',
    marker: { symbol: 'circle', size: 8, color: VEIL, line: { color: INK_SOFT, width: 1.5 } },
    yaxis,
  };
}

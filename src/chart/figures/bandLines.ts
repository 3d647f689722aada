import { ACCENT, INK, INK_SOFT } from '../palette.js';
import { drawn, type PlotlyObject } from './figure.js';

/** A band between two lines, as one closed outline; places where an end is missing are left out. What pictures of curves with intervals share. */
export function bandBetween(
  x: readonly number[],
  { low, high, fill, name }: { low: readonly number[]; high: readonly number[]; fill: string; name: string },
): PlotlyObject {
  const whole = x.flatMap((at, i) =>
    Number.isFinite(low[i]) && Number.isFinite(high[i]) ? [{ at, low: low[i]!, high: high[i]! }] : [],
  );
  const back = [...whole].reverse();
  return {
    type: 'scatter',
    mode: 'lines',
    x: [...whole, ...back].map((p) => p.at),
    y: [...whole.map((p) => drawn(p.high)), ...back.map((p) => drawn(p.low))],
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
  y: readonly number[],
  { dashed = false, yaxis = 'y', accent = false }: { dashed?: boolean; yaxis?: string; accent?: boolean } = {},
): PlotlyObject {
  return {
    type: 'scatter',
    mode: 'lines',
    x,
    y: y.map((v) => (Number.isFinite(v) ? drawn(v) : null)),
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
    marker: { symbol: 'circle', size: 8, color: 'rgba(255,255,255,0.6)', line: { color: INK_SOFT, width: 1.5 } },
    yaxis,
  };
}

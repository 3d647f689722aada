import { ACCENT, INK } from '../palette.js';
import { drawn, type PlotlyObject } from './figure.js';
import { lineTrace } from './marks.js';

type Heights = readonly (number | null)[];

/**
 * A band between two lines, as closed outlines: one a stretch without a missing end, so that a gap stays a gap. What pictures of curves
 * with intervals share.
 */
export function bandBetween(
  x: readonly number[],
  { low, high, fill, ...more }: PlotlyObject & { readonly low: Heights; readonly high: Heights; readonly fill: string },
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
  return lineTrace(
    outline.map((p) => p.at),
    outline.map((p) => p.y),
    { color: fill, width: 0 },
    { fill: 'toself', fillcolor: fill, ...more },
  );
}

/** A curve; dashed where it is a formula and not an observation. */
export function curveLine(
  x: readonly number[],
  y: Heights,
  { dashed = false, accent = false }: { dashed?: boolean; accent?: boolean } = {},
): PlotlyObject {
  const heights = y.map((v) => (v !== null && Number.isFinite(v) ? drawn(v) : null));
  return lineTrace(x, heights, { color: accent ? ACCENT : INK, width: 2, ...(dashed && { dash: 'dash' }) });
}

/** Ends of an axis around values that may be missing. */
export function spanOf(values: readonly (number | null)[]): readonly [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (const value of values) {
    if (value === null || !Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return [drawn(low), drawn(high)];
}

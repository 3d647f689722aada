import type { PlotlyObject } from '../../chart/figures/figure.js';

/** One axis of a figure laid onto the paper. */
export interface PlotAxis {
  readonly spec: PlotlyObject;
  /** Place on the paper, px, of a data value (a category's word for a category axis). */
  readonly at: (value: unknown) => number;
  /** Place of a coordinate as layouts give it: log10 on a log axis, the row's number on a category axis. */
  readonly atRange: (value: number) => number;
  readonly range: readonly [number, number];
  /** Ends of the axis on the paper, px: the lower end of the range first. */
  readonly span: readonly [number, number];
}

/** The plot area with its axes, by plotly's names (`x`, `y2`, …). */
export interface PlotArea {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly axes: ReadonlyMap<string, PlotAxis>;
}

/** Lays out the axes of a figure at a width: the subset of plotly's layout that our figures use. */
export function plotArea(
  { data, layout }: { readonly data: readonly PlotlyObject[]; readonly layout: PlotlyObject },
  { width }: { width: number },
): PlotArea {
  const height = Number(layout['height']);
  const margin = layout['margin'] as { l: number; r: number; t: number; b: number };
  const area = { left: margin.l, right: width - margin.r, top: margin.t, bottom: height - margin.b };
  const axes = new Map<string, PlotAxis>();
  for (const [key, value] of Object.entries(layout)) {
    const match = /^([xy])axis(\d*)$/.exec(key);
    if (match === null) continue;
    const id = `${match[1]!}${match[2]!}`;
    axes.set(id, plotAxis(id, { spec: value as PlotlyObject, data, area }));
  }
  return { width, height, ...area, axes };
}

function plotAxis(
  id: string,
  {
    spec,
    data,
    area,
  }: {
    spec: PlotlyObject;
    data: readonly PlotlyObject[];
    area: { left: number; right: number; top: number; bottom: number };
  },
): PlotAxis {
  const horizontal = id.startsWith('x');
  const values = data
    .filter((trace) => (trace[horizontal ? 'xaxis' : 'yaxis'] ?? id[0]) === id)
    .flatMap((trace) => (trace[id[0]!] ?? []) as readonly unknown[]);
  const categories = new Map(
    (spec['type'] === 'category' ? [...new Set(values.map(String))] : []).map((word, i) => [word, i]),
  );
  const coordinate = (value: unknown): number => {
    if (spec['type'] === 'category') return categories.get(String(value)) ?? NaN;
    return value === null ? NaN : spec['type'] === 'log' ? Math.log10(Number(value)) : Number(value);
  };
  const range = (spec['range'] as readonly [number, number] | undefined) ?? spanOf(values.map(coordinate));
  const domain = (spec['domain'] as readonly [number, number] | undefined) ?? [0, 1];
  const span: readonly [number, number] = horizontal
    ? [mix(area.left, area.right, domain[0]), mix(area.left, area.right, domain[1])]
    : [mix(area.bottom, area.top, domain[0]), mix(area.bottom, area.top, domain[1])];
  const atRange = (value: number) => mix(span[0], span[1], (value - range[0]) / (range[1] - range[0]));
  return { spec, range, span, atRange, at: (value) => atRange(coordinate(value)) };
}

const mix = (from: number, to: number, share: number): number => from + (to - from) * share;

function spanOf(values: readonly number[]): readonly [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (!(low <= high)) return [0, 1];
  const air = low === high ? 1 : 0.02 * (high - low);
  return [low - air, high + air];
}

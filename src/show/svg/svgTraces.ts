import type { PlotlyObject } from '../../chart/figures/figure.js';
import { INK } from '../../chart/palette.js';
import { attributes, px, symbolPath, type FillPattern } from './paint.js';
import type { PlotArea, PlotAxis } from './plotArea.js';
import { svgLabel } from './svgText.js';

/** A colour or pattern as the value of SVG's `fill`. */
export type Fill = (pattern: Partial<FillPattern> | undefined, colour: string) => string;

/** Dashes in px for plotly's words. */
const DASHES: Readonly<Record<string, string>> = { dot: '2,3', dash: '7,4' };

export const dashOf = (line: PlotlyObject): string | undefined => DASHES[String(line['dash'] ?? '')];

/** All traces in drawing order, each clipped to its own axes. */
export function svgTraces(
  data: readonly PlotlyObject[],
  area: PlotArea,
  { fill, prefix, tips }: { fill: Fill; prefix: string; tips: boolean },
): {
  readonly body: string;
  readonly clips: string;
} {
  const clips = new Map<string, string>();
  const stacks = new Map<string, number[]>();
  const body = data.map((trace) => {
    const x = area.axes.get(String(trace['xaxis'] ?? 'x'))!;
    const y = area.axes.get(String(trace['yaxis'] ?? 'y'))!;
    const key = [x.span, y.span].flat().map(px).join(' ');
    const clip = clips.get(key) ?? `${prefix}-c${clips.size}`;
    clips.set(key, clip);
    const drawing = traceBody(trace, { x, y, fill, stacks, tips });
    return drawing === '' ? '' : `<g clip-path="url(#${clip})">\n${drawing}</g>\n`;
  });
  const clipDefs = [...clips].map(([key, id]) => {
    const [x0, x1, y0, y1] = key.split(' ').map(Number) as [number, number, number, number];
    return `<clipPath id="${id}"><rect${attributes({ x: x0 - 1, y: y1 - 1, width: x1 - x0 + 2, height: y0 - y1 + 2 })}/></clipPath>\n`;
  });
  return { body: body.join(''), clips: clipDefs.join('') };
}

interface Pen {
  readonly x: PlotAxis;
  readonly y: PlotAxis;
  readonly fill: Fill;
  readonly stacks: Map<string, number[]>;
  /** Whether marks tell their text when pointed at. */
  readonly tips: boolean;
}

function traceBody(trace: PlotlyObject, pen: Pen): string {
  if (trace['type'] === 'bar') return bars(trace, pen);
  if (trace['type'] === 'heatmap') return cells(trace, pen);
  if (trace['stackgroup'] !== undefined) return stackedBand(trace, pen);
  const mode = String(trace['mode']);
  return (
    (mode.includes('lines') ? lineOrShape(trace, pen) : '') + (mode.includes('markers') ? markers(trace, pen) : '')
  );
}

const list = (trace: PlotlyObject, key: string): readonly unknown[] => (trace[key] ?? []) as readonly unknown[];
const part = (trace: PlotlyObject, key: string): PlotlyObject => (trace[key] ?? {}) as PlotlyObject;

function points(trace: PlotlyObject, { x, y }: Pen): readonly (readonly [number, number])[] {
  const ys = list(trace, 'y');
  return list(trace, 'x').map((value, i) => [x.at(value), y.at(ys[i])] as const);
}

/** `M…L…` with a new start after every point that is missing; points within a fifth of a pixel of the last one go. */
function pathOf(all: readonly (readonly [number, number])[]): string {
  let d = '';
  let last: readonly [number, number] | undefined;
  for (const point of all) {
    if (!Number.isFinite(point[0]) || !Number.isFinite(point[1])) {
      last = undefined;
      continue;
    }
    if (last !== undefined && Math.abs(point[0] - last[0]) < 0.2 && Math.abs(point[1] - last[1]) < 0.2) continue;
    d += `${last === undefined ? 'M' : 'L'}${px(point[0])},${px(point[1])}`;
    last = point;
  }
  return d;
}

/**
 * A record has several readings a pixel: of those that share one, the first, lowest, highest and last draw the same ink. Gaps stay.
 */
function thinned(all: readonly (readonly [number, number])[]): readonly (readonly [number, number])[] {
  const kept: (readonly [number, number])[] = [];
  for (let i = 0; i < all.length;) {
    const column = Math.floor(all[i]![0]);
    let [low, high, end] = [i, i, i + 1];
    const drawn = (at: number) => at < all.length && Number.isFinite(all[at]![1]) && Math.floor(all[at]![0]) === column;
    for (; drawn(i) && drawn(end); end++) {
      if (all[end]![1] < all[low]![1]) low = end;
      if (all[end]![1] > all[high]![1]) high = end;
    }
    for (const at of [...new Set([i, low, high, end - 1])].sort((a, b) => a - b)) kept.push(all[at]!);
    i = end;
  }
  return kept;
}

function lineOrShape(trace: PlotlyObject, pen: Pen): string {
  const line = part(trace, 'line');
  const shape = trace['fill'] === 'toself';
  const width = Number(line['width'] ?? 2);
  const d = pathOf(shape ? points(trace, pen) : thinned(points(trace, pen)));
  if (d === '') return '';
  return `<path d="${d}${shape ? 'Z' : ''}"${attributes({
    fill: shape ? pen.fill(trace['fillpattern'] as FillPattern | undefined, String(trace['fillcolor'])) : 'none',
    stroke: width > 0 ? String(line['color'] ?? INK) : undefined,
    'stroke-width': width > 0 ? width : undefined,
    'stroke-dasharray': dashOf(line),
  })}/>\n`;
}

function stackedBand(trace: PlotlyObject, pen: Pen): string {
  const key = String(trace['stackgroup']);
  const floor = pen.stacks.get(key) ?? list(trace, 'y').map(() => 0);
  const ceiling = list(trace, 'y').map((value, i) => floor[i]! + Number(value));
  pen.stacks.set(key, ceiling);
  const xs = list(trace, 'x').map((value) => pen.x.at(value));
  const up = xs.map((x, i) => [x, pen.y.at(ceiling[i])] as const);
  const down = xs.map((x, i) => [x, pen.y.at(floor[i])] as const).reverse();
  const line = part(trace, 'line');
  return `<path d="${pathOf([...up, ...down])}Z"${attributes({
    fill: pen.fill(trace['fillpattern'] as FillPattern | undefined, String(trace['fillcolor'])),
    stroke: String(line['color']),
    'stroke-width': Number(line['width'] ?? 1),
  })}/>\n`;
}

function markers(trace: PlotlyObject, pen: Pen): string {
  const told = pen.tips ? list(trace, 'text') : [];
  const places = points(trace, pen).map((point, i) => [...point, tipOf(told[i])] as const);
  return svgMarks(
    part(trace, 'marker'),
    places.filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y)),
    pen.fill,
  );
}

/** Plotly's small HTML as the plain, escaped text of a tip. */
const tipOf = (text: unknown): string | undefined =>
  typeof text === 'string' ? text.replaceAll('<br>', '\n').replace(/<\/?b>/g, '') : undefined;

/**
 * Marks at places on the paper, each with what it tells when pointed at. What they share is written once, so that a file that people
 * diff stays short; a list of colours gives each its own.
 */
export function svgMarks(
  marker: PlotlyObject,
  places: readonly (readonly [number, number, string?])[],
  fill: Fill,
): string {
  if (marker['opacity'] === 0 || places.length === 0) return '';
  const line = part(marker, 'line');
  const { d, open } = symbolPath(String(marker['symbol'] ?? 'circle'), Number(marker['size'] ?? 8));
  const colours = Array.isArray(marker['color']) ? (marker['color'] as readonly string[]) : undefined;
  const placed = places.map(([x, y, tip], i) => {
    const own = colours === undefined ? '' : attributes({ fill: open ? 'none' : colours[i] });
    return `<path d="${d}" transform="translate(${px(x)} ${px(y)})"${own}${tip === undefined ? '/>' : `><title>${tip}</title></path>`}`;
  });
  const colour = colours === undefined ? String(marker['color'] ?? INK) : INK;
  const look = attributes({
    fill: open ? 'none' : fill(marker['pattern'] as FillPattern | undefined, colour),
    stroke: String(line['color'] ?? colour),
    'stroke-width': Number(line['width'] ?? 1),
  });
  return `<g${look}>\n${placed.join('\n')}\n</g>\n`;
}

function bars(trace: PlotlyObject, pen: Pen): string {
  const marker = part(trace, 'marker');
  const ys = list(trace, 'y');
  const bases = list(trace, 'base');
  const width = trace['width'];
  const pattern = part(marker, 'pattern') as Partial<FillPattern>;
  const font = part(trace, 'textfont');
  const texts = trace['textposition'] === 'outside' ? list(trace, 'text') : [];
  return list(trace, 'x')
    .map((value, i) => {
      const middle = pen.x.at(value);
      const half = Number((Array.isArray(width) ? (width as readonly number[])[i] : width) ?? 0.8) / 2;
      const wide = Math.abs(pen.x.atRange(half) - pen.x.atRange(0));
      const base = Number(bases[i] ?? 0);
      const ends = [pen.y.at(base), pen.y.at(base + Number(ys[i]))];
      const [high, low] = [Math.min(...ends), Math.max(...ends)];
      const said =
        texts[i] === undefined
          ? ''
          : svgLabel(
              String(texts[i]),
              { x: middle, y: high - 8 },
              { size: Number(font['size'] ?? 12), colour: String(font['color'] ?? INK) },
            );
      if (low - high < 0.05) return said;
      const box = attributes({
        x: middle - wide,
        y: high,
        width: 2 * wide,
        height: low - high,
        fill: pen.fill(pattern, String(marker['color'])),
        stroke: String(part(marker, 'line')['color'] ?? 'none'),
        'stroke-width': Number(part(marker, 'line')['width'] ?? 0),
      });
      return `<rect${box}/>\n${said}`;
    })
    .join('');
}

function cells(trace: PlotlyObject, pen: Pen): string {
  const xs = list(trace, 'x').map((value) => pen.x.at(value));
  const ys = list(trace, 'y').map((value) => pen.y.at(value));
  const wide = Math.abs((xs[1] ?? 10) - (xs[0] ?? 0));
  const tall = Math.abs((ys[1] ?? 10) - (ys[0] ?? 0));
  const scale = trace['colorscale'] as readonly (readonly [number, string])[];
  const most = Number(trace['zmax']);
  return (trace['z'] as readonly (readonly number[])[])
    .flatMap((row, r) =>
      row.map((value, c) => {
        // Cells that would be paper on paper are left out: most of the grid is.
        if (!(value > 0.004 * most)) return '';
        const shape = { x: xs[c]! - wide / 2, y: ys[r]! - tall / 2, width: wide + 0.3, height: tall + 0.3 };
        return `<rect${attributes({ ...shape, fill: shade(scale, value / most) })}/>\n`;
      }),
    )
    .join('');
}

/** Linear between the stops of a colour scale. */
function shade(scale: readonly (readonly [number, string])[], share: number): string {
  const i = Math.max(
    1,
    scale.findIndex(([stop]) => stop >= Math.min(1, share)),
  );
  const [from, to] = [scale[i - 1]!, scale[i]!];
  const t = (Math.min(1, share) - from[0]) / (to[0] - from[0]);
  const channel = (hex: string, at: number) => parseInt(hex.slice(at, at + 2), 16);
  const mixed = [1, 3, 5].map((at) => Math.round(channel(from[1], at) * (1 - t) + channel(to[1], at) * t));
  return `#${mixed.map((c) => c.toString(16).padStart(2, '0')).join('')}`;
}

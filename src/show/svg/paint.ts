import { rounded } from '../../series/format.js';
import { classPalette, type ClassPattern } from '../../chart/palette.js';

/** A number in SVG: one digit after the point is a tenth of a pixel. */
export const px = (value: number): string => String(rounded(value, 1));

/** Attributes as text; undefined ones are left out. Values are our own numbers, colours and words. */
export function attributes(values: Readonly<Record<string, string | number | undefined>>): string {
  return Object.entries(values)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => ` ${name}="${typeof value === 'number' ? px(value) : value}"`)
    .join('');
}

export interface FillPattern extends ClassPattern {
  readonly fgcolor: string;
  readonly bgcolor: string;
  readonly fgopacity?: number;
}

/** Collects the fill patterns of one picture; ids carry a prefix, since several pictures share a page. */
export function patternBook(prefix: string): {
  readonly fill: (pattern: Partial<FillPattern> | undefined, colour: string) => string;
  readonly defs: () => string;
} {
  const ids = new Map<string, string>();
  const fill = (pattern: Partial<FillPattern> | undefined, colour: string): string => {
    if (pattern?.shape === undefined || pattern.shape === '') return colour;
    const body = patternBody(pattern as FillPattern);
    const id = ids.get(body) ?? `${prefix}-p${ids.size}`;
    ids.set(body, id);
    return `url(#${id})`;
  };
  const defs = () => [...ids].map(([body, id]) => `<pattern id="${id}"${body}</pattern>\n`).join('');
  return { fill, defs };
}

function patternBody({ shape, size, solidity, fgcolor, bgcolor, fgopacity = 1 }: FillPattern): string {
  const width = shape === '.' ? size * Math.sqrt(solidity / Math.PI) : Math.max(0.8, size * solidity);
  const stroke = { stroke: fgcolor, 'stroke-width': width, 'stroke-opacity': fgopacity };
  const s = px(size);
  const h = px(size / 2);
  const lines: Readonly<Record<string, string>> = {
    '/': `M0,${s}L${s},0M-1,1L1,-1M${px(size - 1)},${px(size + 1)}L${px(size + 1)},${px(size - 1)}`,
    '\\': `M0,0L${s},${s}M-1,${px(size - 1)}L1,${px(size + 1)}M${px(size - 1)},-1L${px(size + 1)},1`,
    '|': `M${h},0V${s}`,
    '-': `M0,${h}H${s}`,
    '+': `M${h},0V${s}M0,${h}H${s}`,
    x: `M0,0L${s},${s}M0,${s}L${s},0`,
  };
  const drawing =
    shape === '.'
      ? `<circle${attributes({ cx: size / 2, cy: size / 2, r: width, fill: fgcolor, 'fill-opacity': fgopacity })}/>`
      : `<path d="${lines[shape]!}"${attributes(stroke)}/>`;
  return (
    `${attributes({ width: size, height: size, patternUnits: 'userSpaceOnUse' })}>` +
    `<rect${attributes({ width: size, height: size, fill: bgcolor })}/>${drawing}`
  );
}

/** Outline of each symbol in a box of -10 … 10; the nine of the palette, and what else the figures use. */
const OUTLINES: ReadonlyMap<string, string> = new Map(
  classPalette(9).map(({ symbol }) => [symbol.plotly, `M${symbol.points.replaceAll(' ', 'L')}Z`]),
);
const STROKES: Readonly<Record<string, string>> = {
  'x-thin': 'M-8,-8L8,8M-8,8L8,-8',
  'line-ns': 'M0,-10V10',
  'line-ew': 'M-10,0H10',
};

/** A marker at the origin, ready to be moved: `size` is its diameter in px. */
export function symbolPath(symbol: string, size: number): { readonly d: string; readonly open: boolean } {
  const stroke = STROKES[symbol];
  const outline = stroke ?? OUTLINES.get(symbol.replace('-open', '')) ?? OUTLINES.get('circle')!;
  const scale = size / 20;
  const d = outline.replace(/-?[\d.]+/g, (number) => px(Number(number) * scale));
  return { d, open: stroke !== undefined || symbol.endsWith('-open') };
}

/** A short name of a text that is the same everywhere (FNV-1a, 32 bit). */
export function shortHash(text: string): string {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return hash.toString(36);
}

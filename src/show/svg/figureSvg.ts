import { NARROW_PX, WIDE_PX, type Figure, type PlotlyObject } from '../../chart/figures/figure.js';
import { INK, INK_SOFT, PAPER, RULE } from '../../chart/palette.js';
import { escapeHtml } from '../escape.js';
import { axisMarks } from './axisMarks.js';
import { attributes, patternBook, px, shortHash } from './paint.js';
import { plotArea, type PlotArea, type PlotAxis } from './plotArea.js';
import { plainLength, svgLabel, SVG_FONT, textPx } from './svgText.js';
import { dashOf, svgMarks, svgTraces, type Fill } from './svgTraces.js';

/**
 * A figure as a static SVG, for print, for a code host and for a diff: what plotly would draw of the figure kinds of this
 * package, without plotly. One element a line, tenths of a pixel, the same bytes for the same figure.
 *
 * @param figure plain {data, layout} of this package; traces scatter (lines, markers, `toself`, `stackgroup`), bar, heatmap.
 * @param options.width px, default 720, or 350 for the narrow layout.
 * @param options.narrow the layout for a phone.
 * @param options.within the drawing's id in a page that says the picture in words itself: no title, and marks tell theirs when pointed at.
 * @example writeFileSync('odds.svg', figureSvg(oddsFigure(gauge, { scale, reading: 'effective', timeZone })!))
 */
export function figureSvg(
  figure: Figure,
  {
    narrow = false,
    width = narrow ? NARROW_PX : WIDE_PX,
    within,
  }: { width?: number; narrow?: boolean; within?: string } = {},
): string {
  const layout = narrow ? { ...figure.layout, ...figure.narrow } : figure.layout;
  const area = plotArea({ data: figure.data, layout }, { width });
  const prefix = within ?? `f${shortHash(figure.title + figure.alt + JSON.stringify(figure.data).length)}`;
  const patterns = patternBook(prefix);
  const traces = svgTraces(figure.data, area, { fill: patterns.fill, prefix, tips: within !== undefined && !narrow });
  const axes = [...area.axes].filter(([, axis]) => axis.spec['visible'] !== false);
  const parts = [
    `<rect${attributes({ width, height: area.height, fill: PAPER })}/>\n`,
    ...axes.map(([id, axis]) => gridLines(id, axis, area)),
    traces.body,
    ...axes.map(([id, axis]) => axisLines(id, axis, area)),
    ...list(layout, 'shapes').map((shape) => svgLine(shape, area)),
    ...list(layout, 'annotations').map((note) => svgNote(note, area)),
    layout['showlegend'] === true ? legend(figure.data, area, patterns.fill) : '',
  ];
  const alt = escapeHtml(figure.alt);
  const said =
    within === undefined
      ? ` role="img" aria-label="${alt}"${SVG_FONT}>\n<title>${escapeHtml(figure.title)}</title>\n<desc>${alt}</desc>\n`
      : ' aria-hidden="true">\n';
  return (
    `<svg xmlns="http://www.w3.org/2000/svg"${attributes({ width, height: area.height })}` +
    ` viewBox="0 0 ${px(width)} ${px(area.height)}"${said}` +
    `<defs>\n${patterns.defs()}${traces.clips}</defs>\n${parts.join('')}</svg>\n`
  );
}

const list = (layout: PlotlyObject, key: string) => (layout[key] ?? []) as readonly PlotlyObject[];

/** The stretch of the paper across an axis: from its anchor's one end to the other. */
function across(id: string, axis: PlotAxis, area: PlotArea): readonly [number, number] {
  const other = area.axes.get(String(axis.spec['anchor'] ?? (id.startsWith('x') ? 'y' : 'x')));
  return other?.span ?? (id.startsWith('x') ? [area.bottom, area.top] : [area.left, area.right]);
}

function gridLines(id: string, axis: PlotAxis, area: PlotArea): string {
  if (axis.spec['showgrid'] === false) return '';
  // A gauge axis runs through all strips of its figure.
  const [from, to] = id === 'x' ? [area.bottom, area.top] : across(id, axis, area);
  const d = axisMarks(axis).map(({ px: at }) =>
    id.startsWith('x') ? `M${px(at)},${px(from)}V${px(to)}` : `M${px(from)},${px(at)}H${px(to)}`,
  );
  return d.length === 0 ? '' : `<path d="${d.join('')}"${attributes({ stroke: RULE, 'stroke-width': 1 })}/>\n`;
}

const TICK = 4;

function axisLines(id: string, axis: PlotAxis, area: PlotArea): string {
  const horizontal = id.startsWith('x');
  const far = axis.spec['side'] === 'top';
  const at = across(id, axis, area)[far ? 1 : 0];
  const [from, to] = axis.span;
  const out = horizontal ? (far ? -1 : 1) : -1;
  const labelled = axis.spec['showticklabels'] !== false;
  const ticks = axis.spec['ticks'] === '' ? 0 : TICK;
  const marks = axisMarks(axis);
  const line = horizontal ? `M${px(from)},${px(at)}H${px(to)}` : `M${px(at)},${px(from)}V${px(to)}`;
  const strokes = marks.map(({ px: place }) =>
    horizontal ? `M${px(place)},${px(at)}v${px(out * ticks)}` : `M${px(at)},${px(place)}h${px(out * ticks)}`,
  );
  const labels = marks.map(({ px: place, text }) =>
    horizontal
      ? svgLabel(text, { x: onPaper(place, text, area), y: at + out * (TICK + 9) }, { size: 12 })
      : svgLabel(text, { x: at - TICK - 3, y: place }, { size: 12, anchor: 'end' }),
  );
  const path = line + (ticks > 0 ? strokes.join('') : '');
  return (
    (axis.spec['showline'] === false ? '' : `<path d="${path}"${attributes({ stroke: INK_SOFT, fill: 'none' })}/>\n`) +
    (labelled ? labels.join('') : '') +
    axisName(axis, { horizontal, at, out, labels: labelled ? marks.map(({ text }) => text) : [] })
  );
}

/** The middle of a label of the axis, moved as far as it needs to stay on the paper. */
function onPaper(middle: number, text: string, { width }: PlotArea): number {
  const half = textPx(text, 12) / 2 + 2;
  return Math.min(width - half, Math.max(half, middle));
}

function axisName(
  axis: PlotAxis,
  { horizontal, at, out, labels }: { horizontal: boolean; at: number; out: number; labels: readonly string[] },
): string {
  const title = (axis.spec['title'] as { text?: string } | undefined)?.text;
  if (title === undefined) return '';
  const middle = (axis.span[0] + axis.span[1]) / 2;
  if (horizontal) return svgLabel(title, { x: middle, y: at + out * 32 });
  // Digits and the percent sign are wider than the average letter.
  const widest = Math.max(0, ...labels.map(plainLength)) * 8;
  return svgLabel(title, { x: Math.max(9, at - widest - 18), y: middle }, { angle: -90 });
}

/** A place as layouts name it: on an axis, in its range's numbers, or as a share of the whole plot area. */
function place(
  reference: unknown,
  value: unknown,
  { area, horizontal }: { area: PlotArea; horizontal: boolean },
): number {
  if (reference === 'paper') {
    const [from, to] = horizontal ? [area.left, area.right] : [area.bottom, area.top];
    return from + (to - from) * Number(value);
  }
  return area.axes.get(String(reference))!.atRange(Number(value));
}

function svgLine(shape: PlotlyObject, area: PlotArea): string {
  const at = (key: string) => {
    const horizontal = key.startsWith('x');
    const reference = shape[horizontal ? 'xref' : 'yref'];
    const value = Number(shape[key]);
    // Unlike the range, a shape on a log axis is given as the value itself.
    return reference === 'paper'
      ? place(reference, value, { area, horizontal })
      : area.axes.get(String(reference))!.at(value);
  };
  const line = (shape['line'] ?? {}) as PlotlyObject;
  return `<path d="M${px(at('x0'))},${px(at('y0'))}L${px(at('x1'))},${px(at('y1'))}"${attributes({
    stroke: String(line['color'] ?? INK),
    'stroke-width': Number(line['width'] ?? 1),
    'stroke-dasharray': dashOf(line),
  })}/>\n`;
}

const ANCHORS = { left: 'start', center: 'middle', right: 'end' } as const;

function svgNote(note: PlotlyObject, area: PlotArea): string {
  const font = (note['font'] ?? {}) as { size?: number; color?: string };
  const size = font.size ?? 13;
  const text = String(note['text']);
  const angle = Number(note['textangle'] ?? 0);
  // Anchors belong to the box as it lies on the paper: of an upright label the text's length is the height.
  const upright = Math.abs(angle) === 90;
  const [reach, across] = [textPx(text, size) / 2, 0.6 * size];
  const lift = (upright ? reach : across) * (LIFTS[note['yanchor'] as keyof typeof LIFTS] ?? 0);
  const step = upright ? across * (STEPS[note['xanchor'] as keyof typeof STEPS] ?? 0) : 0;
  const x = place(note['xref'] ?? 'x', note['x'], { area, horizontal: true }) + Number(note['xshift'] ?? 0) + step;
  const y = place(note['yref'] ?? 'y', note['y'], { area, horizontal: false }) - Number(note['yshift'] ?? 0) + lift;
  return svgLabel(
    text,
    { x, y },
    {
      size,
      colour: font.color ?? INK,
      anchor: upright ? 'middle' : ANCHORS[(note['xanchor'] as keyof typeof ANCHORS | undefined) ?? 'center'],
      angle,
      behind: note['bgcolor'] as string | undefined,
      pad: Number(note['borderpad'] ?? 1),
    },
  );
}

const LIFTS = { bottom: -1, top: 1 } as const;
const STEPS = { left: 1, right: -1 } as const;

/** Marks with their words in rows above the plot, the last row next to it; entries stand in columns as wide as the longest. */
function legend(data: readonly PlotlyObject[], area: PlotArea, fill: Fill): string {
  const entries = data.filter(
    (trace) =>
      trace['name'] !== undefined &&
      trace['showlegend'] !== false &&
      (trace['mode'] === 'markers' || trace['type'] === 'bar'),
  );
  const column = 30 + Math.max(0, ...entries.map((trace) => textPx(String(trace['name']), 12)));
  const columns = Math.max(1, Math.floor((area.right - area.left) / column));
  const rows = Math.ceil(entries.length / columns);
  return entries
    .map((trace, i) => {
      const x = area.left + 8 + (i % columns) * column;
      const y = area.top - 14 - 20 * (rows - 1 - Math.floor(i / columns));
      const marker = (trace['marker'] ?? {}) as PlotlyObject;
      const mark = svgMarks(
        trace['type'] === 'bar' ? { ...marker, symbol: 'square', size: 13 } : marker,
        [[x, y]],
        fill,
      );
      return mark + svgLabel(String(trace['name']), { x: x + 11, y }, { size: 12, anchor: 'start' });
    })
    .join('');
}

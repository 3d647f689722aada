import type { Interval } from '../../judge/types.js';
import { INK, INK_SOFT, VEIL, type ClassLook } from '../palette.js';
import { drawn, type PlotlyObject } from './figure.js';

/*
 * The few things that every picture is made of: lines, marks, filled outlines, whiskers, rules across the plot, notes. `more` adds keys or
 * overrides them.
 */
type Numbers = readonly (number | null)[];
type Pair = readonly [number, number];

/** A line that says nothing when pointed at. */
export function lineTrace(x: Numbers, y: Numbers, line: PlotlyObject, more: PlotlyObject = {}): PlotlyObject {
  return { type: 'scatter', mode: 'lines', x, y, line, hoverinfo: 'skip', ...more };
}

/** Marks, each with a text of its own (escaped) when pointed at; without texts they say nothing. */
export function markTrace(
  x: readonly unknown[],
  y: readonly unknown[],
  { marker, text, ...more }: PlotlyObject & { readonly marker: PlotlyObject; readonly text?: readonly string[] },
): PlotlyObject {
  const says = text === undefined ? { hoverinfo: 'skip' } : { text, hovertemplate: '%{text}<extra></extra>' };
  return { type: 'scatter', mode: 'markers', x, y, marker, ...says, ...more };
}

/** A filled rectangle. */
export function boxTrace([x0, x1]: Pair, [y0, y1]: Pair, more: PlotlyObject): PlotlyObject {
  return lineTrace([x0, x1, x1, x0, x0], [y0, y0, y1, y1, y0], { width: 0 }, { fill: 'toself', ...more });
}

/** The fill of a class, its pattern more or less strong. */
export function classFill(look: ClassLook, fgopacity: number): PlotlyObject {
  const fillpattern = { ...look.pattern, fgcolor: look.mark, bgcolor: look.fill, fgopacity };
  return { fillcolor: look.fill, fillpattern };
}

/** A thin line for the 95 % interval and a thick one for the 80 %, cut at the paper; an open end goes to its edge. */
export function whiskers(
  { i80, i95 }: { readonly i80: Interval; readonly i95?: Interval | undefined },
  y: number,
  { within: [from, to], ...more }: PlotlyObject & { readonly within: Pair },
): readonly PlotlyObject[] {
  const inside = (end: number | null, open: number) => drawn(end === null ? open : Math.min(to, Math.max(from, end)));
  const line = ([low, high]: Interval, width: number) =>
    lineTrace([inside(low, from), inside(high, to)], [y, y], { color: INK, width }, more);
  return [...(i95 === undefined ? [] : [line(i95, 1.5)]), line(i80, 5)];
}

/** An axis without a trace is not drawn: this one carries the other unit system on `x2`. */
export const OTHER_UNIT: PlotlyObject = markTrace([1], [-9], { marker: { opacity: 0 }, xaxis: 'x2' });

/** A rule across the whole plot at a height. */
export function ruleAcross(y: number, line: PlotlyObject = { dash: 'dash' }, yref = 'y'): PlotlyObject {
  return { type: 'line', xref: 'paper', yref, x0: 0, x1: 1, y0: y, y1: y, line: { color: INK_SOFT, ...line } };
}

/** A rule up the whole plot at a place. */
export function ruleUp(x: number, line: PlotlyObject = { width: 1.5, dash: 'dash' }): PlotlyObject {
  return { type: 'line', xref: 'x', yref: 'paper', x0: x, x1: x, y0: 0, y1: 1, line: { color: INK_SOFT, ...line } };
}

/** A note in the plot, escaped text; `place` in the axes' coordinates unless it says otherwise. */
export function note(text: string, { size = 12, ...place }: PlotlyObject & { readonly size?: number }): PlotlyObject {
  return { xref: 'x', yref: 'y', text, showarrow: false, font: { size, color: INK }, ...place };
}

/** A note above the plot; `x` a share of its width. */
export function noteAbove(
  text: string,
  x: number,
  { size = 12, ...place }: PlotlyObject & { size?: number } = {},
): PlotlyObject {
  const xanchor = x > 0.5 ? 'right' : 'left';
  return note(text, { size, x, y: 1.01, xref: 'paper', yref: 'paper', xanchor, yanchor: 'bottom', ...place });
}

/** Behind a note that lies on a line. */
export const ON_LINE: PlotlyObject = Object.freeze({ bgcolor: VEIL });

/** A label's box in px from the plot's lower left corner. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

export function boxesMeet(one: Box, other: Box): boolean {
  return one.left <= other.right && one.right >= other.left && one.low <= other.high && one.high >= other.low;
}

/** Places labels one after the other: each takes the first of its candidates, best first, that meets no label placed before. */
export function labelPlacer(): <T extends Box>(candidates: readonly T[]) => T | undefined {
  const taken: Box[] = [];
  return (candidates) => {
    const free = candidates.find((box) => taken.every((other) => !boxesMeet(box, other)));
    if (free !== undefined) taken.push(free);
    return free;
  };
}

/** Every n-th of a list, so that at most `most` are left, `through` always among them. */
export function thinned<T>(list: readonly T[], most: number, through = 0): readonly T[] {
  const step = Math.ceil(list.length / most);
  return list.filter((_, i) => (i - through) % step === 0);
}

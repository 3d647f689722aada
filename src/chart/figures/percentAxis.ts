import { axisStyle, axisTitle, drawn, type PlotlyObject } from './figure.js';

/** Steps between marks, percent. */
const STEPS = [1, 2, 5, 10, 20, 50, 100];

/** An axis in percent from `from` to `to` (shares), marked at round steps that lie at least `apart` px from each other. */
export function percentAxis(
  { from, to }: { readonly from: number; readonly to: number },
  { px, title, standoff, apart = 44 }: { px: number; title: string; standoff?: number; apart?: number },
): PlotlyObject {
  const room = Math.max(2, Math.floor(px / apart));
  const step = STEPS.find((s) => (100 * (to - from)) / s <= room) ?? 100 * Math.ceil((to - from) / room);
  const first = Math.ceil((100 * from) / step - 1e-9);
  const last = Math.floor((100 * to) / step + 1e-9);
  const marks = Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step);
  return axisStyle({
    range: [drawn(100 * from), drawn(100 * to)],
    tickvals: marks,
    ticktext: marks.map((mark) => `${mark < 0 ? '−' : ''}${Math.abs(mark)}`),
    title: axisTitle(title, standoff),
  });
}

/** A share as a coordinate on such an axis. */
export function inPercent(share: number): number {
  return drawn(100 * share);
}

import { fixed, lnShare } from '../../series/format.js';
import { axisStyle, axisTitle, drawn, type PlotlyObject } from './figure.js';

/** Steps between marks, percent. */
const STEPS = [1, 2, 5, 10, 20, 50, 100];

/** An axis in percent from `from` to `to` (shares), marked at round steps that have room; `up` stands beside the plot. */
export function percentAxis(
  { from, to }: { readonly from: number; readonly to: number },
  { px, title, up = false }: { px: number; title: string; up?: boolean },
): PlotlyObject {
  const room = Math.max(2, Math.floor(px / (up ? 32 : 44)));
  const step = STEPS.find((s) => (100 * (to - from)) / s <= room) ?? 100 * Math.ceil((to - from) / room);
  const first = Math.ceil((100 * from) / step - 1e-9);
  const last = Math.floor((100 * to) / step + 1e-9);
  const marks = Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step);
  return axisStyle({
    range: [drawn(100 * from), drawn(100 * to)],
    tickvals: marks,
    ticktext: marks.map((mark) => fixed(mark, 0)),
    title: axisTitle(title, up ? 6 : 8),
  });
}

/** An axis of shares from 0 to 1, marked in percent. */
export function shareAxis(title: string, axis: PlotlyObject): PlotlyObject {
  const marks = [0, 0.2, 0.4, 0.6, 0.8, 1];
  const ticktext = marks.map((mark) => fixed(100 * mark, 0));
  return axisStyle({ tickvals: marks, ticktext, title: axisTitle(title, 6), ...axis });
}

/** Marks of a change in ln units: factors that people can read. */
const FACTORS = [0.1, 0.2, 0.33, 0.5, 0.67, 0.8, 0.9, 1.1, 1.25, 1.5, 2, 3, 5, 10].map(Math.log);

/** An axis of changes in ln units from -reach to reach, marked in percent at zero and outwards at least `room` px apart. */
export function changeAxis(
  reach: number,
  { px, room, title }: { px: number; room: number; title: PlotlyObject },
): PlotlyObject {
  const apart = (2 * reach * room) / px;
  const side = (sign: 1 | -1) => {
    let last = 0;
    const outwards = FACTORS.map((ln) => sign * ln)
      .filter((ln) => ln > 0 && ln <= reach)
      .sort((a, b) => a - b);
    return outwards.filter((ln) => {
      const keep = ln - last >= apart;
      if (keep) last = ln;
      return keep;
    });
  };
  const marks = [
    ...side(-1)
      .reverse()
      .map((ln) => -ln),
    0,
    ...side(1),
  ];
  return axisStyle({ range: [-reach, reach], tickvals: marks.map(drawn), ticktext: marks.map(lnShare), title });
}

/** A share as a coordinate on such an axis. */
export function inPercent(share: number): number {
  return drawn(100 * share);
}

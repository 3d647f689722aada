import { figures, significant } from '../../series/format.js';
import type { PlotAxis } from './plotArea.js';

export interface AxisMark {
  readonly px: number;
  readonly text: string;
}

/** Ticks of an axis: those that the figure names, else round ones, months on a date axis. */
export function axisMarks(axis: PlotAxis): readonly AxisMark[] {
  const { spec } = axis;
  if (spec['showticklabels'] === false && spec['ticks'] === '') return [];
  const named = spec['tickvals'] as readonly unknown[] | undefined;
  const marks =
    named !== undefined
      ? named.map((value, i) => ({
          px: axis.at(value),
          text:
            (spec['ticktext'] as readonly string[] | undefined)?.[i] ??
            (typeof value === 'number' ? figures(value) : String(value)),
        }))
      : spec['type'] === 'date'
        ? monthMarks(axis)
        : evenMarks(axis);
  const [low, high] = [...axis.span].sort((a, b) => a - b) as [number, number];
  return marks.filter(({ px }) => px >= low - 0.5 && px <= high + 0.5);
}

function evenMarks(axis: PlotAxis): readonly AxisMark[] {
  const { spec, range } = axis;
  const most = Number(spec['nticks'] ?? 8);
  const power = 10 ** Math.floor(Math.log10((range[1] - range[0]) / most));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => (range[1] - range[0]) / s <= most) ?? 10 * power;
  const first = Math.ceil(range[0] / step);
  const count = Math.floor(range[1] / step) - first + 1;
  const percent = String(spec['tickformat'] ?? '').endsWith('%');
  return Array.from({ length: Math.max(0, count) }, (_, i) => {
    const value = significant((first + i) * step, 12);
    return {
      px: axis.atRange(value),
      text: percent ? `${figures(100 * value)}%` : figures(value, 4),
    };
  });
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const MONTH_STEPS = [1, 2, 3, 6, 12, 24, 60, 120];

/** Firsts of months; a range too short for two of them goes by days. */
function monthMarks(axis: PlotAxis): readonly AxisMark[] {
  const most = Number(axis.spec['nticks'] ?? 8);
  const [from, to] = axis.range;
  const start = new Date(from);
  const months = (to - from) / 86_400_000 / 30.44;
  if (months < 2) return dayMarks(axis, most);
  const step = MONTH_STEPS.find((s) => months / s <= most) ?? MONTH_STEPS[MONTH_STEPS.length - 1]!;
  const first = Math.floor((start.getUTCFullYear() * 12 + start.getUTCMonth()) / step) * step;
  return Array.from({ length: Math.ceil(months / step) + 2 }, (_, i) => {
    const month = first + i * step;
    const year = Math.floor(month / 12);
    return { px: axis.atRange(Date.UTC(year, month % 12, 1)), text: `${MONTHS[month % 12]!} ${year}` };
  });
}

function dayMarks(axis: PlotAxis, most: number): readonly AxisMark[] {
  const day = 86_400_000;
  const [from, to] = axis.range;
  const step = [1, 2, 5, 10, 20].find((s) => (to - from) / day / s <= most)! * day;
  return Array.from({ length: Math.floor((to - from) / step) + 2 }, (_, i) => {
    const at = Math.floor(from / step + i) * step;
    const date = new Date(at);
    return { px: axis.atRange(at), text: `${date.getUTCDate()} ${MONTHS[date.getUTCMonth()]!}` };
  });
}

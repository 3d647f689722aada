import type { Interval } from '../../judge/types.js';
import { fixed, range as rangeText } from '../../series/format.js';
import { dotRows } from './dotRows.js';
import { axisStyle, axisTitle, charPx, FONT_PX, type Figure } from './figure.js';
import { valueAxis, type GaugeScale } from './gaugeScale.js';
import { plotlyText } from './plotlyText.js';
import { shortList } from './shortList.js';

/** One quantity with its intervals; leave out the wide one where there is none. */
export interface IntervalRow {
  readonly label: string;
  readonly median: number;
  readonly i80: Interval;
  readonly i95?: Interval;
}

export interface IntervalFigureOptions {
  readonly title: string;
  /** Axis title, with the unit. */
  readonly axis: string;
  /** A value to compare with, drawn as a dashed line, and what it means. */
  readonly zero?: { readonly at: number; readonly label: string };
  /** Multiplies the values for show (100 for percent). Default 1. */
  readonly times?: number;
  readonly digits?: number;
  /**
   * Where the quantities are readings of a gauge: its own scale, so that the axis is that of the gauge's other figures. Goes with `times` 1
   * and no `zero`.
   */
  readonly scale?: GaugeScale;
}

/**
 * Quantities one below the other: a dot at the median, thick line 80 %, thin line 95 %. For biases of observers, skills, lags.
 * @returns undefined without rows.
 * @throws RangeError for a scale beside `times` or `zero`.
 * @example show(intervalFigure(level.observers.map((o) => ({ ...o, label: o.observer })), { title: 'Observers', axis: 'bias' }))
 */
export function intervalFigure(
  rows: readonly IntervalRow[],
  { title, axis, zero, times = 1, digits = 0, scale }: IntervalFigureOptions,
): Figure | undefined {
  if (scale !== undefined && (times !== 1 || zero !== undefined))
    throw new RangeError('intervalFigure: a scale takes the readings as they are: leave out times and zero');
  if (rows.length === 0) return undefined;
  const timesEach = ([low, high]: Interval): Interval => [
    low === null ? null : times * low,
    high === null ? null : times * high,
  ];
  const dots = rows.map(({ label, median, i80, i95 }) => ({
    label,
    value: times * median,
    i80: timesEach(i80),
    ...(i95 && { i95: timesEach(i95) }),
    says: `${fixed(times * median, digits)} (80 %: ${rangeText(timesEach(i80), (end) => fixed(end, digits))})`,
  }));
  const ends = dots
    .flatMap(({ value, i80, i95 }) => [value, ...i80, ...(i95 ?? []), zero?.at ?? null])
    .filter((v) => v !== null);
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const air = 0.06 * (high - low || 1);
  const range = scale === undefined ? ([low - air, high + air] as const) : ([scale.from, scale.to] as const);
  return dotRows([{ rows: dots }], {
    title,
    alt: `${axis}: ${shortList(
      dots.map(({ label, says }) => `${label} ${says}`),
      { most: 800 },
    )}.`,
    axis: (px) =>
      axisStyle({
        ...(scale === undefined
          ? { range, nticks: Math.max(3, Math.floor(px / 60)) }
          : valueAxis(scale, { kind: scale.kind, px })),
        title: axisTitle(titleFor(axis, px)),
      }),
    range,
    zero,
  });
}

/** An axis title that is cut where it has no room, but never its unit: what stands behind the last comma. */
function titleFor(axis: string, px: number): string {
  // It may reach over both ends of the plot.
  const maxChars = Math.floor((1.15 * px) / charPx(FONT_PX));
  if (axis.length <= maxChars) return plotlyText(axis);
  const unit = axis.slice(axis.lastIndexOf(', ')).length < 12 ? axis.slice(axis.lastIndexOf(', ')) : '';
  return `${plotlyText(axis.slice(0, axis.length - unit.length), { maxChars: maxChars - unit.length })}${plotlyText(unit)}`;
}

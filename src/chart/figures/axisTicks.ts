import { figures, significant } from '../../series/format.js';
import { charPx } from './figure.js';

export interface Ticks {
  readonly values: readonly number[];
  readonly texts: readonly string[];
}

/** Mantissas of a decade, from few to many; a short axis goes on to even steps. */
const DECADE_STEPS: readonly (readonly number[])[] = [
  [1],
  [1, 3],
  [1, 2, 5],
  [1, 2, 3, 5, 7],
  [1, 1.5, 2, 3, 4, 5, 6, 7, 8, 9],
];

/**
 * Round values to mark on an axis from `from` to `to`: as many as have room for their labels.
 * @param range ends in the axis's unit, from < to; above 0 on a log axis.
 * @param options.kind log or linear. `px`: length of the axis. `across`: the labels stand side by side along the axis.
 */
export function axisTicks(
  { from, to }: { readonly from: number; readonly to: number },
  { kind, px, across = true }: { kind: 'log' | 'linear'; px: number; across?: boolean },
): Ticks {
  const at = kind === 'log' ? Math.log : (value: number) => value;
  const place = (value: number) => (px * (at(value) - at(from))) / (at(to) - at(from));
  const fits = (values: readonly number[]) =>
    values.every((value, i) => {
      if (i === 0) return true;
      const room = place(value) - place(values[i - 1]!);
      const half = (v: number) => (charPx(12) * figures(v).length) / 2;
      return room >= (across ? half(value) + half(values[i - 1]!) + 10 : 22);
    });
  const candidates = [
    ...(kind === 'log' ? DECADE_STEPS.map((mantissas) => logValues(from, to, mantissas)) : []),
    ...[10, 8, 6, 5, 4, 3, 2].map((count) => evenValues(from, to, count)),
  ].filter((values) => values.length >= 2 && fits(values));
  const values = candidates.reduce(
    (best, next) => (next.length > best.length ? next : best),
    candidates[0] ?? [from, to],
  );
  return { values, texts: values.map((value) => figures(value)) };
}

function logValues(from: number, to: number, mantissas: readonly number[]): number[] {
  const values: number[] = [];
  for (let power = Math.floor(Math.log10(from)); power <= Math.ceil(Math.log10(to)); power++)
    for (const mantissa of mantissas) {
      const value = significant(mantissa * 10 ** power, 6);
      if (value >= from && value <= to) values.push(value);
    }
  return values;
}

/** Multiples of 1, 2 or 5 × 10^n, about `count` of them. */
function evenValues(from: number, to: number, count: number): number[] {
  const rough = (to - from) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough)!;
  const first = Math.ceil(from / step);
  const last = Math.floor(to / step);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => significant((first + i) * step, 6));
}

import { significant, stepFor } from '../series/format.js';
import { convertUnit, otherSystemUnit, type GaugeUnit } from '../series/units.js';

/** Which way the safer side lies: `up` for an edge that opens the good range, `down` for one that closes it. */
export type SaferSide = 'up' | 'down';

/** A value rounded for people. `digits`: decimals to show it with. */
export interface Rounded {
  readonly value: number;
  readonly step: number;
  readonly digits: number;
}

/**
 * Rounds a gauge value to the safer side, to a step 1, 2 or 5 × 10^n that is no finer than a fifth of its 80 % interval.
 *
 * A value that is a multiple of the step already (within 1e-9 steps, for decimal fractions) stays. Where the width is 0 or
 * not finite, the step is the one that leaves three significant digits.
 *
 * @param value in any unit, finite.
 * @param options.width width of the 80 % interval in the same unit.
 * @param options.side `up` or `down`; see `saferSideOfEdge`.
 * @throws RangeError when value is not finite.
 * @example roundSafer(103.2, { width: 40, side: 'up' }) // { value: 110, step: 10, digits: 0 }
 */
export function roundSafer(value: number, { width, side }: { width: number; side: SaferSide }): Rounded {
  if (!Number.isFinite(value)) throw new RangeError(`roundSafer: value must be finite, got ${value}`);
  const threeDigits = value === 0 ? 1 : 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2);
  const { size, unit, digits } = stepFor(width) ?? stepFor(5 * threeDigits)!;
  // Divide by powers of ten, never multiply by 0.1: 3 × 0.1 is not 0.3.
  const perUnit = Math.round(1 / unit);
  const mantissa = Math.round(size / unit);
  const scaled = unit < 1 ? (value * perUnit) / mantissa : value / size;
  const nearest = Math.round(scaled);
  const onStep = Math.abs(scaled - nearest) < 1e-9 * Math.max(1, Math.abs(scaled));
  const steps = onStep ? nearest : side === 'up' ? Math.ceil(scaled) : Math.floor(scaled);
  const rounded = unit < 1 ? (steps * mantissa) / perUnit : steps * size;
  return { value: rounded + 0, step: unit < 1 ? mantissa / perUnit : size, digits };
}

/**
 * A rounded gauge value in the other system's unit, to three figures: the same everywhere for the same value, because nothing is rounded a
 * second time from unrounded numbers.
 */
export function roundedInOther(value: number, unit: GaugeUnit): Pick<Rounded, 'value' | 'digits'> {
  const other = significant(convertUnit(value, unit, otherSystemUnit(unit)), 3);
  const digits = other === 0 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(other))));
  return { value: other, digits };
}

/**
 * The safer side of the edge between class k and k + 1, for someone who wants the good range.
 *
 * Edges up to the lower edge of good go up: going at less water than needed is avoided. Edges from the upper edge of good on go down:
 * going at more is. An edge inside the good range (two middle classes) goes down too, because calling water higher than
 * it is costs a drive, and calling it lower can cost more.
 *
 * @param k index of the edge, 0-based.
 * @param good lowest and highest good class, as from `goodClasses`.
 */
export function saferSideOfEdge(k: number, good: readonly [number, number]): SaferSide {
  return k < good[0] ? 'up' : 'down';
}

/** Times a step is halved for the sake of order. */
const HALVINGS = 12;

/**
 * Ascending edges as a chart prints them: each rounded to its safer side by its own step, kept ascending (above 0 where `positive`).
 *
 * Where that would put two vague edges in the wrong order, or a discharge at nothing, their steps are halved until it does not: a chart
 * that reads "good from 60 to 50" is not safer, only wrong. That is the one case in which a step is finer than a fifth of the interval.
 *
 * @param edges medians and widths of the 80 % intervals.
 * @param options.good as for `saferSideOfEdge`.
 */
export function roundedEdges(
  edges: readonly { readonly median: number; readonly width80: number }[],
  { good, positive }: { good: readonly [number, number]; positive: boolean },
): readonly Rounded[] {
  const widths = edges.map(({ width80 }) => width80);
  const round = (k: number): Rounded =>
    roundSafer(edges[k].median, { width: widths[k], side: saferSideOfEdge(k, good) });
  const rounded = edges.map((_, k) => round(k));
  for (let halving = 0; halving < HALVINGS; halving++) {
    const wrong = new Set<number>();
    for (let k = 0; k < rounded.length; k++) {
      if (positive && !(rounded[k].value > 0)) wrong.add(k);
      if (k > 0 && !(rounded[k].value > rounded[k - 1].value)) wrong.add(k - 1).add(k);
    }
    if (wrong.size === 0) break;
    for (const k of wrong) {
      widths[k] /= 2;
      rounded[k] = round(k);
    }
  }
  return rounded;
}

/** Which way the safer side lies: `up` for an edge that opens the good range, `down` for one that closes it. */
export type SaferSide = 'up' | 'down';

/** A value rounded for people. `digits`: decimals to show it with. */
export interface Rounded {
  readonly value: number;
  readonly step: number;
  readonly digits: number;
}

/** Share of the 80 % interval's width below which a rounding step would pretend to know more than the record does. */
export const STEP_SHARE = 1 / 5;

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
  const { mantissa, power } = stepFor(value, width);
  // Divide by powers of ten, never multiply by 0.1: 3 × 0.1 is not 0.3.
  const scaled = power < 0 ? (value * 10 ** -power) / mantissa : value / (mantissa * 10 ** power);
  const nearest = Math.round(scaled);
  const whole =
    Math.abs(scaled - nearest) < 1e-9 * Math.max(1, Math.abs(scaled))
      ? nearest
      : side === 'up'
        ? Math.ceil(scaled)
        : Math.floor(scaled);
  const rounded = power < 0 ? (whole * mantissa) / 10 ** -power : whole * mantissa * 10 ** power;
  return {
    value: rounded === 0 ? 0 : rounded,
    step: power < 0 ? mantissa / 10 ** -power : mantissa * 10 ** power,
    digits: Math.max(0, -power),
  };
}

/** The smallest step m × 10^p, m in {1, 2, 5}, that is at least a fifth of the width. */
function stepFor(value: number, width: number): { mantissa: number; power: number } {
  const finest = width * STEP_SHARE;
  if (!(finest > 0 && finest < Infinity)) {
    const size = Math.abs(value);
    return { mantissa: 1, power: size > 0 ? Math.floor(Math.log10(size)) - 2 : 0 };
  }
  const power = Math.floor(Math.log10(finest));
  // A hair of slack, so that a fifth of 5 is the step 1 and not 2 when the width came out as 5.000000000000001.
  for (const mantissa of [1, 2, 5]) if (mantissa * 10 ** power >= finest * (1 - 1e-12)) return { mantissa, power };
  return { mantissa: 1, power: power + 1 };
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

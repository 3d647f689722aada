import { inUnit, odds, plain } from '../series/format.js';
import type { GaugeUnit } from '../series/units.js';
import type { JudgedNextLook } from './judgement.js';
import { roundSafer } from './roundSafer.js';

/** A look takes in the neighbouring values that are worth at least this share of the best one. */
const WORTH_AS_MUCH = 0.85;
/** The next look keeps this many grid values away from those taken: neighbours are one piece of advice. */
const APART = 3;
/** Looks that narrow the edges by less than this, or by less than a fifth of the best look, are no advice. */
const LEAST_SHRINKAGE = 0.01;
const LEAST_OF_BEST = 0.2;
const MOST_LOOKS = 3;
/** The top tenth of the visits' ln span counts as near the highest water logged. */
const NEAR_HIGHEST = 0.1;

/** Shrinkage of one feature's sightings over the grid of gauge values (V). */
export interface LookCurve {
  readonly feature: string;
  readonly name: string;
  readonly shrinkage: Float64Array;
  /** Monte Carlo error of each. */
  readonly error: Float64Array;
}

/**
 * The most useful looks, best first, at values that are clear of one another; whichever feature tells most there, and beside it the best
 * of the others where that is worth half as much. All can be had from the road or the bank; near and above the highest water logged, and
 * where most would call the water more than good, the sentence names no other way.
 *
 * @param curves the verdict first.
 * @param options.xs grid, ln(reading - offset); options.seen span of the visits on it; options.aboveGood odds of a verdict above good at
 *   each value; options.what the edges meant, in words.
 * @returns up to three, within what was seen; none where no look narrows the edges by one percent and by more than its own Monte Carlo
 * error.
 */
export function chooseLooks(
  curves: readonly LookCurve[],
  {
    xs,
    seen,
    aboveGood,
    what,
    unit,
    offset,
  }: {
    xs: Float64Array;
    seen: { readonly low: number; readonly high: number };
    aboveGood: Float64Array;
    what: string;
    unit: GaugeUnit;
    offset: number;
  },
): JudgedNextLook['looks'] {
  const half = xs.length > 1 ? (xs[1] - xs[0]) / 2 : 0;
  // The very ends of what was seen are no place to send anybody, and what lies beyond even less.
  const free = Uint8Array.from(xs, (x) => (x - half > seen.low && x + half < seen.high ? 1 : 0));
  const looks: JudgedNextLook['looks'][number][] = [];
  while (looks.length < MOST_LOOKS) {
    const best = bestFree(curves, free);
    const least = Math.max(LEAST_SHRINKAGE, LEAST_OF_BEST * (looks[0]?.shrinkage ?? 0));
    if (best === null || !(best.shrinkage >= least)) break;
    const { curve, at, shrinkage } = best;
    const worth = (v: number): boolean =>
      free[v] === 1 && beatsChance(curve, v) && curve.shrinkage[v] >= WORTH_AS_MUCH * shrinkage;
    let low = at;
    let high = at;
    while (low > 0 && worth(low - 1)) low--;
    while (high < xs.length - 1 && worth(high + 1)) high++;
    for (let v = Math.max(0, low - APART); v <= Math.min(xs.length - 1, high + APART); v++) free[v] = 0;
    const top = xs[high] + half;
    const range = roundedRange(offset + Math.exp(xs[low] - half), offset + Math.exp(top));
    const beside = bestBeside(curves, { curve, low, high });
    const bank =
      top > seen.high - NEAR_HIGHEST * (seen.high - seen.low)
        ? 'near-highest'
        : aboveGood[high] >= 0.5
          ? 'above-good'
          : 'enough';
    looks.push({
      feature: curve.feature,
      from: range.from,
      to: range.to,
      shrinkage,
      sentence: [
        `${looked(curve, curves[0])} at ${plain(range.from, range.digits)} to ` +
          `${inUnit(range.to, unit, range.digits)} would narrow ` +
          `${what}${looks.length === 0 ? ' most:' : ''} by about ${odds(shrinkage)}.`,
        ...(beside !== null && beside.shrinkage >= shrinkage / 2
          ? [`${looked(beside.curve, curves[0])} there would do by itself: about ${odds(beside.shrinkage)}.`]
          : []),
        BANK[bank],
      ].join(' '),
    });
  }
  return looks;
}

const BANK = {
  enough: 'A look from the road or the bank is enough.',
  'above-good': 'Look from the road or the bank only: at such readings most of the water is above good.',
  'near-highest': 'Look from the road or the bank only: that is near or above the highest water in the log.',
} as const;

function looked(curve: LookCurve, verdict: LookCurve): string {
  return curve === verdict ? 'A verdict' : `A sighting of "${curve.name}"`;
}

/** A look is named where what it is expected to gain is more than this many times its Monte Carlo error. */
const ERRORS = 3;

function beatsChance({ shrinkage, error }: LookCurve, at: number): boolean {
  return shrinkage[at] > ERRORS * error[at];
}

function bestFree(
  curves: readonly LookCurve[],
  free: Uint8Array,
): { curve: LookCurve; at: number; shrinkage: number } | null {
  let best: { curve: LookCurve; at: number; shrinkage: number } | null = null;
  for (const curve of curves)
    for (let at = 0; at < free.length; at++)
      if (free[at] === 1 && beatsChance(curve, at) && curve.shrinkage[at] > (best?.shrinkage ?? 0))
        best = { curve, at, shrinkage: curve.shrinkage[at] };
  return best;
}

/** The best other feature within the values of a look. */
function bestBeside(
  curves: readonly LookCurve[],
  { curve, low, high }: { curve: LookCurve; low: number; high: number },
): { curve: LookCurve; shrinkage: number } | null {
  const others = curves
    .filter((other) => other !== curve)
    .map((other) => ({ curve: other, shrinkage: Math.max(...other.shrinkage.subarray(low, high + 1)) }));
  return others.sort((a, b) => b.shrinkage - a.shrinkage)[0] ?? null;
}

/** Rounded inward, to at most a fifth of its width. */
function roundedRange(from: number, to: number): { from: number; to: number; digits: number } {
  const low = roundSafer(from, { width: to - from, side: 'up' });
  const high = roundSafer(to, { width: to - from, side: 'down' });
  return { from: low.value, to: high.value, digits: Math.max(low.digits, high.digits) };
}

import { splitSeed } from '../kernel/random.js';
import { countedShare, floodRatios, floodSlots, sumByFlood, type Counted, type Measured } from './floodRatios.js';
import { classFrequencies } from './frequencies.js';
import type { LeftOut } from './leaveFloodOut.js';

/** Odds from here on are called sure, as in the sure range of a class. */
export const SURE = 0.8;

/** How much the odds dare to say, whether right or not. */
export interface Sharpness {
  readonly kind: 'sharpness';
  /** Mean odds of the likeliest class. */
  readonly meanTop: Measured;
  /** Share of verdicts for which one class had odds of 80 % or more, and how often that class was then seen. */
  readonly sure: Counted;
  readonly sureRight: Counted;
  /** Mean entropy of the odds, bits, and of how often each class was logged in the other floods. */
  readonly entropyBits: Measured;
  readonly loggedEntropyBits: Measured;
}

/**
 * Sharpness of odds with floods left out. Sharp odds are worth something only where they are reliable too: read it beside `reliabilityOf`.
 *
 * @param options.seed default 1.
 * @returns null values without cases.
 */
export function sharpnessOf(left: LeftOut, { seed = 1 }: { seed?: number } = {}): Sharpness {
  const { cases, probability, floods } = left;
  const K = cases.classes;
  const slots = floodSlots(left);
  const sum = (value: (c: number) => number) =>
    floods.length === 0
      ? new Float64Array(0)
      : sumByFlood((c) => cases.weight[c] * value(c), { slots, floods: floods.length });
  const odds = (c: number) => probability.subarray(c * K, (c + 1) * K);
  const isSure = (c: number) => odds(c)[likeliest(odds(c))] >= SURE;
  const one = sum(() => 1);
  const sureWeight = sum((c) => (isSure(c) ? 1 : 0));
  const sureAndSeen = sum((c) => (isSure(c) && likeliest(odds(c)) === cases.classIndex[c] ? 1 : 0));
  const [meanTop, entropyBits, loggedEntropyBits] = floodRatios(
    [
      { of: sum((c) => odds(c)[likeliest(odds(c))]), from: one },
      { of: sum((c) => bits(odds(c))), from: one },
      { of: sum((c) => bits(classFrequencies(cases, { exceptFlood: cases.flood[c] }))), from: one },
    ],
    { floods: floods.length, seed: splitSeed(seed, 'sharpness') },
  );
  const sure = countedShare({ of: sureWeight, from: one });
  const sureRight = countedShare({ of: sureAndSeen, from: sureWeight });
  return { kind: 'sharpness', meanTop, sure, sureRight, entropyBits, loggedEntropyBits };
}

/** Class of the largest odds; the lower one on a tie. */
export function likeliest(odds: Float64Array): number {
  let best = 0;
  for (let k = 1; k < odds.length; k++) if (odds[k] > odds[best]) best = k;
  return best;
}

function bits(odds: Float64Array): number {
  let sum = 0;
  for (const p of odds) if (p > 0) sum -= p * Math.log2(p);
  return sum;
}

import { splitSeed } from '../kernel/random.js';
import { floodRatios, floodSlots, sumByFlood, type Measured } from './floodRatios.js';
import type { LeftOut } from './leaveFloodOut.js';
import { likeliest } from './sharpness.js';

/** What was called likeliest against what was seen. */
export interface Confusion {
  readonly kind: 'confusion';
  readonly classes: number;
  /** Verdicts by weight: table[said·K + seen], K classes, lowest first. */
  readonly table: Float64Array;
  readonly right: Measured;
  /** Off by one class at most. */
  readonly withinOne: Measured;
  /** The creek was higher than said: the direction that hurts. */
  readonly seenHigher: Measured;
  readonly seenLower: Measured;
}

/**
 * Confusion table of the likeliest class with floods left out, and how often it was right, off by one, and off in which direction.
 *
 * @param options.seed default 1.
 * @returns a table of zeros and null values without cases.
 */
export function confusionOf(left: LeftOut, { seed = 1 }: { seed?: number } = {}): Confusion {
  const { cases, probability, floods } = left;
  const K = cases.classes;
  const C = floods.length === 0 ? 0 : cases.visit.length;
  const slots = floodSlots(left).subarray(0, C);
  const table = new Float64Array(K * K);
  const higher = new Int32Array(C);
  for (let c = 0; c < C; c++) {
    const said = likeliest(probability.subarray(c * K, (c + 1) * K));
    higher[c] = cases.classIndex[c] - said;
    table[said * K + cases.classIndex[c]] += cases.weight[c];
  }
  const sum = (counts: (off: number) => boolean) =>
    sumByFlood((c) => (counts(higher[c]) ? cases.weight[c] : 0), { slots, floods: floods.length });
  const all = sum(() => true);
  const [right, withinOne, seenHigher, seenLower] = floodRatios(
    [
      (off: number) => off === 0,
      (off: number) => Math.abs(off) <= 1,
      (off: number) => off > 0,
      (off: number) => off < 0,
    ].map((counts) => ({ of: sum(counts), from: all, share: true })),
    { floods: floods.length, seed: splitSeed(seed, 'confusion') },
  );
  return Object.freeze({ kind: 'confusion', classes: K, table, right, withinOne, seenHigher, seenLower });
}

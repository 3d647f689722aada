import { countedShare, floodSlots, sumByFlood, type Counted } from './floodRatios.js';
import type { LeftOut } from './leaveFloodOut.js';
import { likeliest } from './sharpness.js';

/** What was called likeliest against what was seen. */
export interface Confusion {
  readonly kind: 'confusion';
  readonly classes: number;
  /** Verdicts by weight: table[said·K + seen], K classes, lowest first. */
  readonly table: Float64Array;
  readonly right: Counted;
  /** Off by one class at most. */
  readonly withinOne: Counted;
  /** The creek was higher than said: the direction that hurts. */
  readonly seenHigher: Counted;
  readonly seenLower: Counted;
}

/**
 * Confusion table of the likeliest class with floods left out, and how often it was right, off by one, and off in which direction.
 *
 * @returns a table of zeros and null values without cases.
 */
export function confusionOf(left: LeftOut): Confusion {
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
  const share = (counts: (off: number) => boolean) => countedShare({ of: sum(counts), from: all });
  return {
    kind: 'confusion',
    classes: K,
    table,
    right: share((off) => off === 0),
    withinOne: share((off) => Math.abs(off) <= 1),
    seenHigher: share((off) => off > 0),
    seenLower: share((off) => off < 0),
  };
}

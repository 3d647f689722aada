import { createRandom } from '../../src/kernel/random.js';
import type { Aligned } from '../../src/align/types.js';
import { plainAligned, type PlainVisit } from './plainAligned.js';

/** Reading at no flow, and 1/exponent of the staff of `staffVisits`. */
export const OFFSET = 20;
export const EXPONENT_P = 1.7;

/**
 * Visits to a creek with a verdict of three classes and a staff that reads 20 + 25·e^(c/1.7) cm, with noise of 3 cm everywhere or of `share` (a fifth) of the height above 20.
 */
export function staffVisits({
  seed,
  visits = 40,
  growing,
  mismatch = 0.15,
  share = 0.2,
}: {
  seed: number;
  visits?: number;
  growing: boolean;
  mismatch?: number;
  share?: number;
}): Aligned {
  const random = createRandom(seed);
  return plainAligned(
    Array.from({ length: visits }, (): PlainVisit => {
      const x = 0.9 * random.normal();
      const c = x + mismatch * random.normal();
      const height = 25 * Math.exp(c / EXPONENT_P);
      const value = OFFSET + height + (growing ? share * height : 3) * random.normal();
      const seen = c + 0.1 * random.normal();
      return { x, looks: [{ saw: [-0.5, 0.6].filter((e) => seen > e).length }, { feature: 1, value }] };
    }),
    { features: [['low', 'good', 'high'], 'cm'] },
  );
}

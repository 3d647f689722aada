import type { Aligned } from '../../src/align/types.js';
import { createRandom } from '../../src/kernel/random.js';
import { plainAligned } from '../../tests/fit/plainAligned.js';

/** Offset, height at the middle flow, and 1/exponent of the invented staff, in cm and ln units. */
const STAFF = { base: 12, height: 30, p: 1.8 } as const;

/** Where the bank opens, and what is left of the slope above it. */
const BREAK = { at: 0.4, slope: 0.35 } as const;

/** Reading of the staff at state c, and the sd of its scatter there. */
export const STAFF_TRUTHS = {
  'one power law': { reads: lower, scatter: () => 1.5 },
  'scatter that grows': { reads: lower, scatter: (c: number) => 0.2 * (lower(c) - STAFF.base) },
  'two power laws': {
    reads: (c: number) => (c <= BREAK.at ? lower(c) : lower(BREAK.at) + BREAK.slope * (lower(c) - lower(BREAK.at))),
    scatter: () => 1.5,
  },
} as const;

export type StaffTruth = keyof typeof STAFF_TRUTHS;

function lower(c: number): number {
  return STAFF.base + STAFF.height * Math.exp(c / STAFF.p);
}

/** Visits at one grid point: a verdict of two classes and a look at the staff, at a mismatch of 0.15. */
export function staffWorld({
  truth,
  readings,
  seed,
}: {
  readonly truth: StaffTruth;
  readonly readings: number;
  readonly seed: number;
}): Aligned {
  const random = createRandom(seed);
  const { reads, scatter } = STAFF_TRUTHS[truth];
  return plainAligned(
    Array.from({ length: readings }, () => {
      const x = 1.1 * random.normal();
      const c = x + 0.15 * random.normal();
      return { x, looks: [{ saw: c > 0 ? 1 : 0 }, { feature: 1, value: reads(c) + scatter(c) * random.normal() }] };
    }),
    { features: [['low', 'high'], 'cm'] },
  );
}

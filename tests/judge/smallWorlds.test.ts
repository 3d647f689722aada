import { describe, expect, it } from 'vitest';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { gradeWays } from '../../src/judge/gradeWays.js';
import { waysOfReading } from '../../src/judge/waysOfReading.js';
import { smallWorld } from './smallWorld.js';
import type { SmallWorld } from './smallWorld.js';

const SEEDS = [1000, 1001, 1002, 1003];

/** Grades of four invented worlds, fitted for real. The table of 40 a row stands in docs/trust.md. */
function grades(world: Omit<SmallWorld, 'seed'>): string[] {
  return SEEDS.map((seed) => {
    const aligned = smallWorld({ ...world, seed });
    const fits = fitLevels(aligned, { modes: ['one-reading'], draws: 500 });
    return gradeWays(aligned, { ways: waysOfReading(aligned, fits, { seed: 1 }) }).grade;
  });
}

describe('grades in worlds whose truth is known', () => {
  it('a gauge that knows the creek is a fair or a good guide', () => {
    for (const grade of grades({ kind: 'related', visits: 60, days: 500, mismatch: 0.1 }))
      expect(['fair guide', 'good guide']).toContain(grade);
  });

  it('a gauge that knows it badly is never a good guide', () => {
    for (const grade of grades({ kind: 'related', visits: 60, days: 500, mismatch: 0.4 }))
      expect(['no usable relation', 'rough guide', 'fair guide']).toContain(grade);
  });

  it('a gauge that only shares the seasons is no use', () => {
    expect(grades({ kind: 'seasons', visits: 60, days: 500 })).toEqual(SEEDS.map(() => 'no usable relation'));
  });

  it('25 visits in 25 days are too thin, however good the gauge', () => {
    expect(grades({ kind: 'related', visits: 25, days: 25, mismatch: 0.1 })).toEqual(SEEDS.map(() => 'too thin'));
  });
});

import { expect, it } from 'vitest';
import { edges } from '../../src/chart/edges.js';
import { syntheticAligned, syntheticFit } from '../judge/syntheticRelation.js';

it('a vague edge of a discharge is printed above zero; that of a stage may be', () => {
  const aligned = syntheticAligned([{ x: 0, saw: 0 }], { classes: ['good', 'high'] });
  // Median 0.3, 80 % interval 0.04 to 2.2: rounded down to its step it would be nothing.
  const draws = Array.from({ length: 41 }, (_, d) => ({
    edges: [Math.log(0.3) + (d - 20) / 8],
    mismatch: 0.2,
    blur: 0.1,
  }));
  const fit = { ...syntheticFit(aligned, draws), offset: 0 };
  const printed = (parameter: 'discharge' | 'stage') => edges({ ...fit, parameter }, aligned)[0].rounded;
  expect(printed('discharge')).toBeGreaterThan(0);
  expect(printed('stage')).toBe(0);
});

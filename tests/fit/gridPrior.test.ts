import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { expectClose } from '../expectClose.js';
import { makeWorld } from './world.js';

const aligned = alignVisits(makeWorld({ visits: 14, days: 90 }), {
  lagsHours: [0, 1, 2, 3, 4, 5, 6],
  storagesHours: [0, 6],
});
const options = { modes: ['effective'] as const, draws: 600, seed: 2 };
const flat = fitLevels(aligned, options).effective;

describe('a prior over lags and storages', () => {
  it('that is flat changes nothing, whatever its height', () => {
    const same = fitLevels(aligned, { ...options, gridPrior: new Float64Array(14).fill(-3) }).effective;
    expect([...same.draws.lagHours]).toEqual([...flat.draws.lagHours]);
    expectClose(same.logEvidence, flat.logEvidence, { abs: 1e-9, why: 'evidence against a flat prior' });
  });

  it('multiplies the posterior of the grid, and the reading follows', () => {
    const gridPrior = Float64Array.from({ length: 14 }, (_, g) => (g % 7 === 1 ? 0 : -2));
    const { effective } = fitLevels(aligned, { ...options, gridPrior });
    const product = flat.grid.probability.map((p, g) => p * Math.exp(gridPrior[g]));
    const sum = product.reduce((a, b) => a + b, 0);
    product.forEach((p, g) =>
      expectClose(effective.grid.probability[g], p / sum, { abs: 0.02, why: `prior × flat posterior at ${g}` }),
    );
    const expected = product[1] / sum + product[8] / sum;
    expect(effective.reading.lagHours).toBe(1);
    expect(new Set(effective.draws.lagHours)).toEqual(new Set([1]));
    expect(expected).toBeGreaterThan(1.5 * (flat.grid.probability[1] + flat.grid.probability[8]));
  });

  it('must fit the grid', () => {
    expect(() => fitLevels(aligned, { ...options, gridPrior: new Float64Array(3) })).toThrow(
      'fitLevels: gridPrior must hold one finite number for each of 14 grid points, got 3',
    );
  });
});

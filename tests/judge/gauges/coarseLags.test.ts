import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { coarseLags } from '../../../src/judge/gauges/coarseLags.js';
import { makeWorld } from '../../fit/world.js';

const world = makeWorld({ visits: 8, days: 40, ledge: true });
const storagesHours = [0, 5];
const fine = alignVisits(world, { lagsHours: [0, 0.5, 1, 1.5, 2], storagesHours });

describe('visits on whole hours', () => {
  it('are what aligning them on whole hours gives', () => {
    const { aligned } = coarseLags(fine, { leadHours: 0 });
    expect(aligned).toEqual(alignVisits(world, { lagsHours: [0, 1, 2], storagesHours }));
  });

  it('take their prior with them', () => {
    const gridPrior = Float64Array.from({ length: 10 }, (_, g) => g);
    expect([...coarseLags(fine, { leadHours: 0, gridPrior }).gridPrior!]).toEqual([0, 2, 4, 5, 7, 9]);
  });

  it('stay as they are where whole hours would leave nothing to warn with', () => {
    const late = alignVisits(world, { lagsHours: [0, 1, 1.5], storagesHours });
    expect(coarseLags(late, { leadHours: 1.5 }).aligned).toBe(late);
    expect(coarseLags(late, { leadHours: 1 }).aligned).not.toBe(late);
  });
});

import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../../src/align/alignVisits.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { errorGrowth } from '../../../src/fit/rating/errorGrowth.js';
import { staffOffset } from '../../../src/fit/rating/staffOffset.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';
import { makeWorld } from '../world.js';

function readings(delta: number, { n, seed }: { n: number; seed: number }) {
  const random = createRandom(seed);
  const fitted = Array.from({ length: n }, () => Math.exp(3 * random.uniform()));
  return { fitted, observed: fitted.map((f) => f + 0.1 * f ** delta * random.normal()) };
}

describe('how the scatter grows', () => {
  it('has a closed form for two sizes', () => {
    // Two groups with residual squares 1 and 16 at fitted 1 and e²: ln of their ratio over 2·2.
    const fitted = [1, 1, 1, 1, Math.exp(2), Math.exp(2), Math.exp(2), Math.exp(2)];
    const observed = fitted.map((f, i) => f + (i % 2 === 0 ? 1 : -1) * (i < 4 ? 1 : 4));
    expectClose(errorGrowth(fitted, observed).exponent, Math.log(16) / 4, {
      abs: 0.006,
      why: 'equal shares at the top',
    });
  });

  it('tells errors in the unit from errors in per cent, and covers', () => {
    expect(errorGrowth(...pair(readings(0, { n: 60, seed: 1 }))).suggests).toBe('natural');
    expect(errorGrowth(...pair(readings(1, { n: 60, seed: 2 }))).suggests).toBe('ln');
    const near = readings(1, { n: 10, seed: 3 }).fitted.map((f) => 1 + f / 60);
    const off = near.map((f, i) => f + 0.1 * Math.sin(7 * i));
    expect(errorGrowth(near, off).suggests).toBe('either');
    let held = 0;
    for (let seed = 10; seed < 110; seed++) {
      const { lower, upper } = errorGrowth(...pair(readings(0.7, { n: 40, seed })));
      if (lower <= 0.7 && 0.7 <= upper) held++;
    }
    expect(held).toBeGreaterThanOrEqual(88);
  });

  it('says when there is nothing to judge', () => {
    expect(errorGrowth([1, 2], [1, 2]).sentence).toBe(
      '2 readings are too few to tell how their scatter grows; 8 are needed.',
    );
    const eight = [1, 2, 3, 4, 5, 6, 7, 8];
    expect(errorGrowth(eight, eight).status).toBe('no-scatter');
    expect(() => errorGrowth([0, ...eight], [1, ...eight])).toThrow('errorGrowth: fitted[0] must be above 0, got 0');
  });
});

function pair({ fitted, observed }: { fitted: number[]; observed: number[] }): [number[], number[]] {
  return [fitted, observed];
}

describe('the offset of a staff in the level model', () => {
  const world = makeWorld({ visits: 40, days: 200, staff: true, mismatch: 0.1 });
  const aligned = alignVisits(world, { lagsHours: [3], storagesHours: [0] });
  const { effective } = fitLevels(aligned, { modes: ['effective'], draws: 300 });

  it('has an interval that holds the truth, and a one-sided bound', () => {
    const offset = staffOffset(effective, { feature: 'staff' });
    expect(offset.status).toBe('ok');
    expect(offset.i95[0]).toBeLessThan(20);
    expect(offset.i95[1]).toBeGreaterThan(20);
    expect(offset.below95).toBeGreaterThan(offset.median);
    expect(offset.below95).toBeLessThan(offset.i95[1]!);
    expect(offset.skew).toBeGreaterThan(1);
    expect(offset.sentence).toMatch(/^painted staff would read about [\d.]+ cm at no flow \(95 % between /);
  });

  it('is not made up for a line, a class feature, or a fit without draws', () => {
    const staff = effective.features.find((f) => f.id === 'staff')!;
    const line = { ...effective, features: [{ ...staff, rating: { ...staff.rating!, form: 'line' as const } }] };
    expect(staffOffset(line, { feature: 'staff' }).sentence).toContain('was taken as a straight line in ln flow');
    expect(staffOffset(effective, { feature: 'verdict' }).status).toBe('no-staff');
    expect(staffOffset({ ...effective, features: [] }, { feature: 'staff' }).median).toBeNaN();
  });
});

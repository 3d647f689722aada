import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { staffOffset } from '../../src/fit/staffOffset.js';
import { makeWorld } from './world.js';

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
    expect(staffOffset(effective, { feature: 'verdict' }).median).toBeNaN();
    expect(() => staffOffset(effective, { feature: 'pole' })).toThrow(
      new RangeError(`unknown feature 'pole'; the fit has ${effective.features.map(({ id }) => id).join(', ')}`),
    );
  });
});

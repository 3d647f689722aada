import { describe, expect, it } from 'vitest';
import {
  convertUnit,
  DISCHARGE_UNITS,
  otherSystemUnit,
  parameterOfUnit,
  STAGE_UNITS,
  unitLabel,
} from '../../src/series/units.js';
import { expectClose } from '../expectClose.js';

describe('convertUnit', () => {
  /**
   * Factors as printed (7 digits) in NIST Special Publication 811 (2008), Appendix B.8: foot to metre 3.048 E-01 (exact), cubic foot per
   * second to cubic metre per second 2.831 685 E-02. Copied from memory of the table; they also follow from the exact foot.
   */
  it.each([
    [1, 'ft', 'm', 0.3048, 0],
    [1, 'ft3/s', 'm3/s', 2.831685e-2, 5e-8],
    [1, 'ft', 'cm', 30.48, 0],
    [1, 'm3/s', 'L/s', 1000, 0],
  ] as const)('%d %s is the printed number of %s', (value, from, to, printed, halfDigit) => {
    expectClose(convertUnit(value, from, to), printed, { abs: Math.max(halfDigit, 1e-12), why: 'the digits printed' });
  });

  it('a cubic foot is the cube of 0.3048 m, exactly', () => {
    // 3048³ = 28316846592: integer arithmetic, no rounding anywhere.
    expect(3048n ** 3n).toBe(28316846592n);
    expect(convertUnit(1e12, 'ft3/s', 'm3/s')).toBe(28316846592);
  });

  it('goes there and back within rounding, for every pair of a kind', () => {
    for (const units of [DISCHARGE_UNITS, STAGE_UNITS])
      for (const a of units)
        for (const b of units)
          expectClose(convertUnit(convertUnit(123.4, a, b), b, a), 123.4, { rel: 4e-16, why: `${a} to ${b} and back` });
  });

  it('leaves a value in its own unit as it is, to the last bit', () => {
    for (const unit of ['ft3/s', 'm3/s', 'L/s', 'ft', 'm', 'cm'] as const)
      for (let i = 1; i < 500; i++) expect(convertUnit(i / 7, unit, unit)).toBe(i / 7);
  });

  it('refuses to turn a stage into a discharge', () => {
    expect(() => convertUnit(1, 'ft', 'm3/s')).toThrow(
      new RangeError('convertUnit: cannot turn ft into m3/s: one is a discharge, the other a stage'),
    );
  });
});

describe('units', () => {
  it('knows the kind of each unit', () => {
    expect(DISCHARGE_UNITS.map(parameterOfUnit)).toEqual(['discharge', 'discharge', 'discharge']);
    expect(STAGE_UNITS.map(parameterOfUnit)).toEqual(['stage', 'stage', 'stage']);
  });

  it('has a unit of the other system for each, of the same kind', () => {
    for (const unit of [...DISCHARGE_UNITS, ...STAGE_UNITS]) {
      const other = otherSystemUnit(unit);
      expect(parameterOfUnit(other)).toBe(parameterOfUnit(unit));
      expect(other.startsWith('ft')).toBe(!unit.startsWith('ft'));
    }
  });

  it('writes a cube as a cube', () => {
    expect(['ft3/s', 'm3/s', 'L/s', 'cm'].map(unitLabel)).toEqual(['ft³/s', 'm³/s', 'L/s', 'cm']);
  });
});

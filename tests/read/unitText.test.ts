import { describe, expect, it } from 'vitest';
import { unitFromText, unitInBrackets } from '../../src/read/unitText.js';

describe('units in files', () => {
  it.each([
    ['ft3/s', 'ft3/s'],
    ['ft³/s', 'ft3/s'],
    ['ft&#179;/s', 'ft3/s'],
    ['ft&amp;#179;/s', 'ft3/s'],
    ['ft^3/s', 'ft3/s'],
    ['CFS', 'ft3/s'],
    ['cubic feet per second', 'ft3/s'],
    ['m³/s', 'm3/s'],
    ['m3 s-1', 'm3/s'],
    ['cubic metres per second', 'm3/s'],
    ['l/s', 'L/s'],
    ['feet', 'ft'],
    ['m', 'm'],
    ['cm', 'cm'],
  ])('%j is %s', (text, unit) => {
    expect(unitFromText(text)).toBe(unit);
  });
  it.each(['', 'deg C', 'mm', 'km', 'mg/L', 'uS/cm @25C', 'ft3', 'constructor'])('%j is none of ours', (text) => {
    expect(unitFromText(text)).toBeUndefined();
  });
  it('finds a unit in the brackets of a column name, and no other bracket', () => {
    expect(unitInBrackets('Value[m³/s]')).toBe('m³/s');
    expect(unitInBrackets('Flow (cfs)')).toBe('cfs');
    expect(unitInBrackets('Value[mAOD]')).toBeUndefined();
    expect(unitInBrackets('value')).toBeUndefined();
  });
});

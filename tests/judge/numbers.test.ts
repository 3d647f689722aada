import { describe, expect, it } from 'vitest';
import { groupDigits } from '../../src/chart/figures/valueText.js';
import { fromTo } from '../../src/judge/refits/moveWords.js';
import { inUnit, plain } from '../../src/series/format.js';

const THIN = '\u202f';

describe('gauge values in sentences', () => {
  it('are grouped from 10 000 on, as on a chart', () => {
    expect(plain(9999, 0)).toBe('9999');
    expect(plain(10_000, 0)).toBe(`10${THIN}000`);
    expect(plain(1_234_567.5, 1)).toBe(`1${THIN}234${THIN}567.5`);
    for (const value of [0, 4.2, 12_345, 500_000]) expect(plain(value, 2)).toBe(groupDigits(plain(value, 2)));
  });

  it('carry that through units and ranges, and a real minus', () => {
    expect(inUnit(12_000, 'ft3/s', 0)).toBe(`12${THIN}000 ft³/s`);
    expect(inUnit(-0.25, 'm', 2)).toBe('−0.25 m');
    expect(fromTo(11_800, 12_300, 'ft3/s')).toBe(`11${THIN}800 to 12${THIN}300 ft³/s`);
    expect(fromTo(3.61, 4, 'm3/s')).toBe('3.61 to 4 m³/s');
  });
});

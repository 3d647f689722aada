import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  edgeTexts,
  inward,
  intervalText,
  outward,
  seenTexts,
  sureText,
  unitColumns,
} from '../../../src/show/text/inUnits.js';
import { handChart } from './handChart.js';

const gauge = handChart().runs[0]!.gauges[1]!;
const [ft3, m3] = unitColumns(gauge.gauge, 'both');

describe('unitColumns', () => {
  it("shows the gauge's own unit first, or the one asked for", () => {
    expect(unitColumns(gauge.gauge, 'both').map(({ label }) => label)).toEqual(['ft³/s', 'm³/s']);
    expect(unitColumns(gauge.gauge, 'metric').map(({ label }) => label)).toEqual(['m³/s']);
    expect(unitColumns(gauge.gauge, 'us').map(({ label }) => label)).toEqual(['ft³/s']);
    const litres = { ...gauge.gauge, unit: 'L/s' as const, otherUnit: 'ft3/s' as const };
    expect(unitColumns(litres, 'metric').map(({ label }) => label)).toEqual(['L/s']);
  });
});

describe('directed rounding', () => {
  it('widens intervals and narrows ranges', () => {
    expect([outward(95.2, 0, 'low'), outward(140.7, 0, 'high')]).toEqual(['95', '141']);
    expect([inward(95.2, 0, 'low'), inward(140.7, 0, 'high')]).toEqual(['96', '140']);
  });

  it('leaves a value on a step where it is, though binary fractions are not', () => {
    // 4.1 · 10 = 41 but 1.1 · 100 = 110.00000000000001 in binary.
    expect(outward(1.1, 2, 'high')).toBe('1.10');
    expect(inward(4.35, 2, 'low')).toBe('4.35');
  });

  it('holds for any value', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1e5, noNaN: true }), fc.integer({ min: 0, max: 3 }), (value, digits) => {
        expect(Number(outward(value, digits, 'low'))).toBeLessThanOrEqual(value * (1 + 1e-8));
        expect(Number(outward(value, digits, 'high'))).toBeGreaterThanOrEqual(value * (1 - 1e-8));
      }),
    );
  });
});

describe('texts of one unit', () => {
  it('gives an edge with its 80 % interval, rounded outward and open where it has no bound', () => {
    const edges = gauge.effective!.edges;
    expect(edgeTexts(edges[0]!, ft3!)).toEqual({ value: '120', interval80: '95 to 141' });
    // 95.2 and 140.7 ft³/s are 2.6957 and 3.9842 m³/s by the exact factor.
    expect(edgeTexts(edges[0]!, m3!)).toEqual({ value: '3.4', interval80: '2.6 to 4.0' });
    expect(edgeTexts(edges[3]!, ft3!)).toEqual({ value: '500', interval80: 'above 430' });
    expect(intervalText([null, null], String)).toBe('any');
    expect(intervalText([null, 3], String)).toBe('below 3');
  });

  it('gives a sure range, or nothing for an empty one', () => {
    const [good, high] = gauge.effective!.sureRanges;
    expect(sureText(good!, ft3!)).toBe('200 to 280');
    expect(sureText(good!, m3!)).toBe('5.7 to 7.9');
    expect(sureText(high!, ft3!)).toBe(undefined);
  });

  it('never shows more as seen than was seen', () => {
    expect(seenTexts(gauge.effective!, ft3!)).toEqual({ from: '89', to: '640' });
    expect(seenTexts(gauge.effective!, m3!)).toEqual({ from: '2.5', to: '18.1' });
  });
});

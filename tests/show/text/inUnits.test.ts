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
    expect([inward(95.21, 'low'), inward(140.7, 'high')]).toEqual(['95.3', '140']);
  });

  it('shows no more than 3 figures of a bound', () => {
    expect([outward(4982.3, 0, 'low'), outward(6438.1, 0, 'high'), outward(0.81777, 3, 'low')]).toEqual([
      '4980',
      '6440',
      '0.817',
    ]);
    expect([inward(0.81777, 'low'), inward(8387, 'high'), inward(0, 'low'), inward(-1.234, 'low')]).toEqual([
      '0.818',
      '8380',
      '0',
      '-1.23',
    ]);
  });

  it('leaves a value on a step where it is, though binary fractions are not', () => {
    // 4.1 · 10 = 41 but 1.1 · 100 = 110.00000000000001 in binary.
    expect(outward(1.1, 2, 'high')).toBe('1.10');
    expect(inward(4.35, 'low')).toBe('4.35');
  });

  it('holds for any value', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1e5, noNaN: true }), fc.integer({ min: 0, max: 3 }), (value, digits) => {
        expect(Number(outward(value, digits, 'low'))).toBeLessThanOrEqual(value * (1 + 1e-8));
        expect(Number(outward(value, digits, 'high'))).toBeGreaterThanOrEqual(value * (1 - 1e-8));
        expect(Number(inward(value, 'low'))).toBeGreaterThanOrEqual(value * (1 - 1e-8));
        expect(Number(inward(value, 'high'))).toBeLessThanOrEqual(value * (1 + 1e-8));
      }),
    );
  });
});

describe('texts of one unit', () => {
  it('gives an edge with its 80 % interval, rounded outward and open where it has no bound', () => {
    const edges = gauge.level!.edges;
    expect(edgeTexts(edges[0]!, ft3!)).toEqual({ value: '120', interval80: '95 to 141' });
    // 95.2 and 140.7 ft³/s are 2.6957 and 3.9842 m³/s by the exact factor.
    expect(edgeTexts(edges[0]!, m3!)).toEqual({ value: '3.4', interval80: '2.6 to 4.0' });
    expect(edgeTexts(edges[3]!, ft3!)).toEqual({ value: '500', interval80: 'above 430' });
    expect(intervalText([null, null], String)).toBe('any');
    expect(intervalText([null, 3], String)).toBe('below 3');
  });

  it('gives a sure range, or nothing for an empty one', () => {
    const [good, high] = gauge.level!.sureRanges;
    expect(sureText(good!, ft3!)).toBe('200 to 280');
    expect(sureText(good!, m3!)).toBe('5.7 to 7.9');
    expect(sureText(high!, ft3!)).toBe(undefined);
    expect(sureText(good!, ft3!, { lowest: true })).toBe('below 280');
    expect(sureText(good!, m3!, { highest: true })).toBe('above 5.7');
    expect(sureText({ ...good!, roundedFrom: 28.9, digits: 1 }, ft3!)).toBe('28.9 to 280.0');
    expect(sureText({ ...good!, roundedTo: 300, digits: 3 }, ft3!)).toBe('200 to 300');
  });

  it('shows a sure range narrower than the rounding step with 3 figures, never as unbounded', () => {
    const narrow = { ...gauge.level!.sureRanges[0]!, roundedFrom: null, roundedTo: null };
    expect(sureText(narrow, ft3!)).toBe('199 to 283');
    expect(sureText(narrow, ft3!, { lowest: true })).toBe('below 283');
    // 136.2 to 136.9 m³/s: with 3 figures inward the bounds would cross, 137 to 136.
    expect(sureText({ ...narrow, from: 136.2, to: 136.9 }, { unit: 'm3/s', label: '', own: 'm3/s' })).toBe('about 136');
  });

  it('never shows more as seen than was seen', () => {
    // 2.5 m³/s is 88.2867 ft³/s, 640.2 ft³/s are 18.1284 m³/s.
    expect(seenTexts(gauge.level!, ft3!)).toEqual({ from: '88.3', to: '640' });
    expect(seenTexts(gauge.level!, m3!)).toEqual({ from: '2.50', to: '18.1' });
  });
});

import { describe, expect, it } from 'vitest';
import { levelChart } from '../../src/chart/levelChart.js';
import { sureRanges } from '../../src/chart/sureRange.js';
import { normalQuantile } from '../../src/kernel/normal.js';
import type { SureRange } from '../../src/chart/types.js';
import { expectClose } from '../expectClose.js';
import { syntheticAligned, syntheticFit } from '../judge/syntheticRelation.js';

const edgeValues = [8, 20, 50, 120];
const sharp = { edges: edgeValues.map(Math.log), mismatch: 0.06, blur: 0.08 };

function rangesFor(gauges: number[], draw = sharp): readonly SureRange[] {
  const aligned = syntheticAligned(gauges.map((q, i) => ({ x: Math.log(q), saw: i % 5 })));
  return levelChart(syntheticFit(aligned, [draw]), aligned, { values: 2001 }).sureRanges;
}

describe('sureRanges', () => {
  it('an inner class is sure from 0.8 to 0.8, where the far edge no longer matters', () => {
    const good = rangesFor([5, 12, 30, 80, 200])[2];
    const reach = 0.1 * normalQuantile(0.8);
    expectClose(good.from!, 20 * Math.exp(reach), { rel: 1e-4, why: 'Φ((x - θ)/0.1) = 0.8' });
    expectClose(good.to!, 50 * Math.exp(-reach), { rel: 1e-4, why: 'Φ((θ - x)/0.1) = 0.8' });
    expect(good.bestOdds).toBeGreaterThan(0.999);
    // One draw has no width: three digits, inward.
    expect(good.says).toBe('"good" is sure from 21.8 m³/s to 45.9 m³/s.');
    expect([good.roundedFrom, good.roundedTo]).toEqual([21.8, 45.9]);
    expect(good.roundedFromOther! * 0.028316846592).toBeGreaterThanOrEqual(good.from!);
    expect(good.roundedToOther! * 0.028316846592).toBeLessThanOrEqual(good.to!);
  });

  it('end classes end where the visits end, and say that the rest is not seen', () => {
    const ranges = rangesFor([5, 12, 30, 80, 200]);
    expectClose(ranges[0].from!, 5, { rel: 1e-12, why: 'lowest visit' });
    expectClose(ranges[4].to!, 200, { rel: 1e-12, why: 'highest visit' });
    expect(ranges[0].says).toBe(
      '"too low" is sure from 5 m³/s, the lowest seen, to 7.35 m³/s; lower readings are not seen and are at most "too low".',
    );
    expect(ranges[4].says).toBe(
      '"too high" is sure from 131 m³/s to 200 m³/s, the highest seen; higher readings are not seen and are at least "too high".',
    );
  });

  it('no class goes past the data: what was never seen has no range, an inner class is cut and said to be at least that', () => {
    const ranges = rangesFor([5, 12, 30, 40]);
    expect(ranges[3].empty && ranges[4].empty).toBe(true);
    expect(ranges[4].bestOdds).toBeLessThan(1e-9);
    expect(ranges[4].says).toBe('No reading makes "too high" sure: its best odds are under 1 %, 80 % are asked for.');
    expectClose(ranges[2].to!, 40, { rel: 1e-12, why: 'highest visit' });
    expect(ranges[2].says).toMatch(/higher readings are not seen and are at least "good", maybe more\.$/);
    const upper = rangesFor([30, 80, 200]);
    expect(upper[2].says).toMatch(
      /the lowest seen, to 45\.9 m³\/s; lower readings are not seen and are at most "good", maybe less\.$/,
    );
  });

  it('a vague gauge has empty ranges that say how good the odds get', () => {
    const [, low, good] = rangesFor([5, 12, 30, 80, 200], { ...sharp, mismatch: 0.6 });
    expect(good).toMatchObject({ empty: true, from: null, to: null, roundedFrom: null, roundedTo: null, digits: 0 });
    expect(good.bestOdds).toBeGreaterThan(0.5);
    expect(good.bestOdds).toBeLessThan(0.6);
    expect(good.says).toBe('No reading makes "good" sure: its best odds are 55 %, 80 % are asked for.');
    expect(low.empty).toBe(true);
  });

  it('one class over all that was seen', () => {
    expect(rangesFor([28, 30, 33])[2].says).toBe('"good" is sure at every reading seen, 28 m³/s to 33 m³/s.');
  });

  const table = (good: number[]) => ({
    classes: ['low', 'good', 'high'],
    gaugeValues: good.map((_, v) => Math.exp(v / 10)),
    probability: good.map((p, v) => (v < good.length / 2 ? [1 - p, p, 0] : [0, p, 1 - p])),
    low80: [],
    high80: [],
    atLeast: [],
  });
  const edge = {
    feature: 'verdict',
    between: ['a', 'b'] as const,
    median: 1,
    i95: [0, 9] as const,
    rounded: 1,
    roundedOther: 1,
    digits: 0,
    digitsOther: 0,
    odds: [],
    seenBothSides: true,
  };

  it('odds that miss by a hair are not written as 80 %', () => {
    const odds = table([0.1, 0.5, 0.798, 0.5, 0.1]);
    const [, good] = sureRanges(odds, {
      seen: { from: 1, to: Math.exp(0.4) },
      edges: [
        { ...edge, i80: [1, 1.1] },
        { ...edge, i80: [1, 1.1] },
      ],
      unit: 'm',
      offset: 0,
    });
    expect(good.says).toBe('No reading makes "good" sure: its best odds are just under 80 %, 80 % are asked for.');
  });

  it('interpolates between two values of the table, in ln', () => {
    const odds = table([0.1, 0.7, 0.9, 0.7, 0.1]);
    const [, good] = sureRanges(odds, {
      seen: { from: 1, to: Math.exp(0.4) },
      edges: [
        { ...edge, i80: [1, 1.01] },
        { ...edge, i80: [1, 1.01] },
      ],
      unit: 'm',
      offset: 0,
    });
    expectClose(good.from!, Math.exp(0.15), { rel: 1e-12, why: 'half way from 0.7 to 0.9' });
    expectClose(good.to!, Math.exp(0.25), { rel: 1e-12, why: 'half way back' });
  });

  it('a range narrower than its rounding says so and gives no rounded ends', () => {
    const odds = table([0.1, 0.7, 0.9, 0.7, 0.1]);
    const [, good] = sureRanges(odds, {
      seen: { from: 1, to: Math.exp(0.4) },
      edges: [
        { ...edge, i80: [1, 6] },
        { ...edge, i80: [1, 6] },
      ],
      unit: 'm',
      offset: 0,
    });
    expect(good.empty).toBe(false);
    expect([good.roundedFrom, good.roundedTo]).toEqual([null, null]);
    expect(good.says).toBe('"good" is sure (80 % or more) only over a stretch narrower than the edges are known.');
  });
});

import { describe, expect, it } from 'vitest';
import type { Aligned } from '../../src/align/types.js';
import { observerAgreement } from '../../src/judge/agreement.js';
import { krippendorffAlpha } from '../../src/judge/krippendorff.js';
import { groupNumbers, resampleFloods } from '../../src/judge/resampleFloods.js';
import { weightedKappa } from '../../src/judge/weightedKappa.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { syntheticAligned } from './syntheticRelation.js';

describe('krippendorffAlpha', () => {
  it('has no value where nothing can disagree', () => {
    expect(krippendorffAlpha([]).alpha).toBe(null);
    expect(krippendorffAlpha([[1], [2, NaN]])).toMatchObject({ alpha: null, units: 0, pairable: 0, i80: [null, null] });
    expect(
      krippendorffAlpha([
        [2, 2],
        [2, 2, 2],
      ]).alpha,
    ).toBe(null);
  });

  it('nominal with two observers by hand', () => {
    // o: 1-1 two, 2-2 two, 1-2 one each way; n 6, n_1 = n_2 = 3: 1 - (2/6)/(18/30).
    const { alpha } = krippendorffAlpha([[1, 1], [2, 2], [1, 2]], { level: 'nominal' }); // prettier-ignore
    expectClose(alpha!, 1 - 2 / 6 / (18 / 30), { abs: 1e-12, why: 'by hand' });
  });

  it('does not mind the order of units or observers, nor monotone numbers at ordinal level', () => {
    const random = createRandom(3);
    const units = Array.from({ length: 12 }, () => Array.from({ length: 3 }, () => random.integer(4)));
    const turned = units.map((u) => u.map((v) => 10 ** v).reverse()).reverse();
    expectClose(krippendorffAlpha(turned).alpha!, krippendorffAlpha(units).alpha!, { abs: 1e-12, why: 'same data' });
  });

  it('is near 0 for observers who guess, and its interval holds 0 about as often as it says', () => {
    const random = createRandom(8);
    let held = 0;
    let sum = 0;
    for (let world = 0; world < 100; world++) {
      const units = Array.from({ length: 40 }, () => [random.integer(5), random.integer(5)]);
      const { alpha, i80 } = krippendorffAlpha(units, { resamples: 200, seed: world });
      sum += alpha!;
      if (i80[0]! <= 0 && i80[1]! >= 0) held++;
    }
    expectClose(sum / 100, 0, { abs: 0.05, why: 'mean α of guessing: sd 0.16 a world' });
    // 100 worlds: 80 ± 3 sd of 4.
    expect(held).toBeGreaterThanOrEqual(68);
    expect(held).toBeLessThanOrEqual(92);
  });

  it('is wider when units come in floods', () => {
    const random = createRandom(5);
    const units: number[][] = [];
    const group: number[] = [];
    for (let flood = 0; flood < 10; flood++) {
      const odd = flood % 3 === 0;
      for (let v = 0; v < 6; v++) {
        const level = random.integer(5);
        units.push([level, odd ? 4 - level : level]);
        group.push(flood);
      }
    }
    const width = (i: readonly (number | null)[]) => i[1]! - i[0]!;
    expect(width(krippendorffAlpha(units, { group }).i80)).toBeGreaterThan(1.3 * width(krippendorffAlpha(units).i80));
  });

  it('refuses misuse', () => {
    expect(() => krippendorffAlpha([[1, 1]], { group: [1, 2] })).toThrow(
      'krippendorffAlpha: group has 2 entries for 1 units',
    );
    expect(() => krippendorffAlpha([[-1, 1]], { level: 'ratio' })).toThrow(
      'krippendorffAlpha: a ratio scale has no negative values, got -1',
    );
  });
});

describe('weightedKappa', () => {
  it('by hand', () => {
    // p_o 0.7, p_e 0.5·0.6 + 0.5·0.4 = 0.5.
    expectClose(weightedKappa([[20, 5], [10, 15]]).kappa!, 0.4, { abs: 1e-12, why: 'by hand' }); // prettier-ignore
    expect(weightedKappa([[8, 0], [0, 8]])).toMatchObject({ kappa: 1, variance: 0, n: 16 }); // prettier-ignore
  });

  it('has no value where chance agrees fully, or without counts', () => {
    expect(weightedKappa([[9, 0], [0, 0]])).toMatchObject({ kappa: null, variance: null }); // prettier-ignore
    expect(weightedKappa([[0, 0], [0, 0]]).kappa).toBe(null); // prettier-ignore
  });

  it('refuses misuse', () => {
    expect(() => weightedKappa([[1, 2]])).toThrow('weightedKappa: counts must be 1 × 1');
    expect(() => weightedKappa([[1, 2], [3, 4]], { weights: [[1]] })).toThrow('weightedKappa: weights must be 2 × 2'); // prettier-ignore
    expect(() => weightedKappa([[1, -2], [3, 4]])).toThrow('counts must not be negative or missing, got -2'); // prettier-ignore
  });
});

/** Each visit: who saw which class. */
function shared(visits: readonly (readonly [number, number][])[]): Aligned {
  const base = syntheticAligned(visits.map((_, i) => ({ x: i, saw: 0 })));
  const rows = visits.flat();
  const start = new Int32Array(visits.length + 1);
  visits.forEach((v, i) => (start[i + 1] = start[i] + v.length));
  return {
    ...base,
    observers: ['Ann', 'Bo', 'Cy'],
    sightingStart: start,
    sightingFeature: new Int32Array(rows.length),
    sightingClass: Int32Array.from(rows, ([, saw]) => saw),
    sightingValue: new Float64Array(rows.length).fill(NaN),
    sightingObserver: Int32Array.from(rows, ([who]) => who),
    sightingRow: Int32Array.from(rows, (_, j) => j + 2),
  };
}

describe('observerAgreement', () => {
  it('is empty where nobody went together', () => {
    const { features, pairs } = observerAgreement(syntheticAligned([{ x: 1, saw: 2 }, { x: 2, saw: 3 }])); // prettier-ignore
    expect([features, pairs]).toEqual([[], []]);
  });

  it('pairs, by hand', () => {
    const visits: [number, number][][] = [0, 1, 2, 3, 4, 2].map((c) => [
      [0, c],
      [1, Math.min(4, c + 1)],
      [0, 4], // Ann's second word does not count.
    ]);
    visits[5].push([2, 2]);
    visits.push([[2, 1]]);
    const { features, pairs } = observerAgreement(shared(visits));
    expect(features.map((f) => [f.feature, f.sharedVisits, f.alpha.units, f.alpha.pairable])).toEqual([
      ['verdict', 6, 6, 13],
    ]);
    expect(pairs).toHaveLength(1);
    expect(pairs[0]).toMatchObject({ feature: 'verdict', observers: ['Ann', 'Bo'], shared: 6, secondHigherBy: 5 / 6 });
    // Quadratic κ is 1 - (mean square apart)/(the same over all pairings of the two).
    const a = [0, 1, 2, 3, 4, 2];
    const b = [1, 2, 3, 4, 4, 3];
    const chance = a.flatMap((u) => b.map((v) => (u - v) ** 2)).reduce((s, v) => s + v);
    expectClose(pairs[0].kappa!, 1 - (6 * 5) / chance, { abs: 1e-12, why: 'quadratic κ from squares' });
  });

  it('same seed, same bytes', () => {
    const visits: [number, number][][] = [0, 1, 2, 3, 4, 2].map((c, i) => [
      [0, c],
      [1, i % 2 === 0 ? c : 2],
    ]);
    const text = () => JSON.stringify(observerAgreement(shared(visits), { seed: 4 }));
    expect(text()).toBe(text());
  });
});

describe('resampleFloods', () => {
  it('has no interval with one group, or where values are mostly missing', () => {
    expect(resampleFloods(1, () => [1], { seed: 1 })).toEqual([[null, null]]);
    expect(resampleFloods(5, (times) => [times[0] > 0 ? NaN : 1, 2], { seed: 1 })).toEqual([
      [null, null],
      [2, 2],
    ]);
  });

  it('of a mean of many groups is ± 1.28 standard errors', () => {
    const random = createRandom(2);
    const values = Array.from({ length: 400 }, () => random.normal());
    const mean = values.reduce((a, b) => a + b) / 400;
    const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / 400);
    const [[low, high]] = resampleFloods(400, (t) => [values.reduce((a, v, g) => a + v * t[g], 0) / 400], { seed: 6 });
    expectClose((high! - low!) / 2, (1.2816 * sd) / 20, { rel: 0.07, why: '2000 resamples' });
    expectClose((high! + low!) / 2, mean, { abs: 0.01, why: 'around the mean' });
  });

  it('numbers groups by first appearance', () => {
    const { group, groups } = groupNumbers([7, 3, 7, 9]);
    expect([[...group], groups]).toEqual([[0, 1, 0, 2], 3]);
  });
});

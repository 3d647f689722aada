import { describe, expect, it } from 'vitest';
import { ratingSummaries } from '../../src/chart/ratingSummary.js';
import { visitMarks } from '../../src/chart/visitMarks.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { DAY, syntheticAligned, syntheticFit } from '../judge/syntheticRelation.js';

describe('visitMarks', () => {
  const aligned = syntheticAligned(
    [
      { x: (lag, k) => Math.log(10 + lag + k), saw: 2, slope: 0.1, flood: 0 },
      { x: (lag) => (lag === 3 ? NaN : Math.log(7)), flood: 1, slope: -0.1 },
      { x: Math.log(20), saw: 4, flood: 1 },
    ],
    { lags: [0, 3], storages: [0, 12] },
  );

  it('reads the gauge at the chart’s own lag and storage, null where nothing matches', () => {
    const late = visitMarks(aligned, { lagHours: 3, storageHours: 12 });
    expectClose(late[0].reading!, 25, { rel: 1e-12, why: '10 + 3 + 12' });
    expectClose(late[0].onRecord!, 13, { rel: 1e-12, why: '10 + 3: the record has no storage' });
    expect(late[1].reading).toBeNull();
    const [, now] = visitMarks(aligned, { lagHours: 0, storageHours: 12 });
    expectClose(now.reading!, 7, { rel: 1e-12, why: 'matched at lag 0' });
    expect(visitMarks(aligned, undefined)[0]).toMatchObject({ reading: null, onRecord: null });
  });

  it('carries what was seen, by whom, in which flood, on which limb', () => {
    const [first, second] = visitMarks(aligned, undefined);
    expect(first).toEqual({
      visit: 'v0',
      timeMs: 0,
      reading: null,
      onRecord: null,
      classIndex: 2,
      observer: 'Ann',
      flood: 0,
      limb: 'rising',
      sightings: [{ feature: 'verdict', saw: 'good', row: 2 }],
    });
    expect(second).toMatchObject({ timeMs: 10 * DAY, classIndex: -1, observer: '', limb: 'falling', sightings: [] });
  });

  it('averages x over the nodes of a time window and shows a staff with its unit', () => {
    const one = syntheticAligned([{ x: 0, saw: 1 }]);
    const wide = {
      ...one,
      nodeStart: Int32Array.of(0, 3),
      nodeWeight: Float64Array.of(0.25, 0.5, 0.25),
      x: Float64Array.of(1, 2, NaN),
      features: [
        ...one.features,
        { id: 'staff', name: 'staff', classes: [], unit: 'cm' },
        { id: 'board', name: 'board', classes: [] },
      ],
      sightingStart: Int32Array.of(0, 3),
      sightingFeature: Int32Array.of(1, 2, 0),
      sightingClass: Int32Array.of(-1, -1, 1),
      sightingValue: Float64Array.of(31.5, 4, NaN),
      sightingObserver: Int32Array.of(0, 0, 0),
      sightingRow: Int32Array.of(2, 3, 4),
    };
    const [mark] = visitMarks(wide, { lagHours: 0, storageHours: 0 });
    // (0.25 × 1 + 0.5 × 2)/0.75: the unmatched node drops out.
    expectClose(mark.reading!, Math.exp(5 / 3), { rel: 1e-12, why: 'matched nodes only' });
    expect(mark.sightings.map((s) => s.saw)).toEqual(['31.5 cm', '4', 'low']);
    expect(mark.classIndex).toBe(1);
  });
});

describe('ratingSummaries', () => {
  const aligned = syntheticAligned([
    { x: 0, saw: 0 },
    { x: 1, saw: 1 },
  ]);
  const fit = syntheticFit(
    aligned,
    [1, 2].map(() => ({ edges: [0, 1, 2, 3], mismatch: 0.2, blur: 0.1 })),
  );
  const staff = (form: 'power' | 'line', noiseForm: 'constant' | 'growing' = 'constant') => ({
    ...fit,
    features: [
      ...fit.features,
      {
        id: 'staff',
        name: 'staff',
        classes: [],
        unit: 'cm',
        edges: new Float64Array(0),
        blur: new Float64Array(2),
        sharesMismatch: false,
        rating: {
          form,
          base: Float64Array.of(20, 20),
          a: Float64Array.of(0, 0),
          p: Float64Array.of(2, 2),
          noise: Float64Array.of(1, 3),
          noiseForm,
          noiseAt: Math.log(4),
          formLogBayesFactor: NaN,
          noiseLogBayesFactor: NaN,
          breakLogBayesFactor: NaN,
          formSentence: '',
          noiseSentence: '',
        },
      },
    ],
  });

  it('power: base + (gauge value)^(1/p)', () => {
    const [rating] = ratingSummaries(staff('power'), { gaugeValues: [1, 4, 100] });
    expect(rating).toMatchObject({ feature: 'staff', unit: 'cm', form: 'power' });
    [21, 22, 30].forEach((cm, v) => expectClose(rating.median[v], cm, { rel: 1e-12, why: 'square root' }));
    expect(rating.exponent.median).toBe(0.5);
    expect(rating.noise.median).toBe(2);
    expect(rating.low80).toEqual(rating.high80);
  });

  it.each(['constant', 'growing'] as const)('%s noise: the band of one reading is what chance makes of it', (form) => {
    const D = 600;
    const made = staff('power', form);
    const of = made.features.at(-1)!;
    const rating = {
      ...of.rating!,
      base: new Float64Array(D).fill(20),
      a: new Float64Array(D),
      p: new Float64Array(D).fill(2),
      noise: Float64Array.from({ length: D }, (_, d) => (d % 2 === 0 ? 1 : 3)),
    };
    const draws = { ...made.draws, count: D, mismatch: new Float64Array(D).fill(0.2) };
    const fit = { ...made, draws, features: [{ ...of, rating }] };
    const [{ readingLow80, readingHigh80, low80, high80, noiseForm, noiseAtGauge }] = ratingSummaries(fit, {
      gaugeValues: [9],
    });
    expect([noiseForm, noiseAtGauge]).toEqual([form, form === 'growing' ? expect.closeTo(4, 12) : null]);
    expect(readingLow80[0]).toBeLessThan(low80[0]);
    expect(readingHigh80[0]).toBeGreaterThan(high80[0]);
    const random = createRandom(5);
    const drawn = Array.from({ length: 40_000 }, (_, i) => {
      const height = Math.exp((Math.log(9) + 0.2 * random.normal()) / 2);
      // Growing, the noise stands at a gauge value of 4, where the height is 2.
      const sd = (i % 2 === 0 ? 1 : 3) * (form === 'growing' ? height / 2 : 1);
      return 20 + height + sd * random.normal();
    });
    const below = (end: number) => drawn.filter((v) => v < end).length / drawn.length;
    expectClose(below(readingLow80[0]), 0.1, { abs: 0.01, why: 'lower end' });
    expectClose(below(readingHigh80[0]), 0.9, { abs: 0.01, why: 'upper end' });
  });

  it('line: straight in ln of the gauge value', () => {
    const [rating] = ratingSummaries(staff('line'), { gaugeValues: [1, Math.E ** 2] });
    expectClose(rating.median[0], 20, { abs: 1e-12, why: 'base where the gauge reads 1' });
    expectClose(rating.median[1], 21, { abs: 1e-12, why: 'slope 1/2 per ln unit' });
    expect(rating.exponent.median).toBe(0.5);
  });

  it('has none for a fit without numeric features', () => {
    expect(ratingSummaries(fit, { gaugeValues: [1] })).toEqual([]);
  });
});

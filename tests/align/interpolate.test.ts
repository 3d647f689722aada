import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lnAt } from '../../src/align/interpolate.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { FROM, HOUR } from './makeRecord.js';

/** The first interval that holds the time, by looking at all of them. */
function plainAt(times: Float64Array, y: Float64Array, t: number, maxGapMs: number): number {
  for (let i = 0; i < times.length; i++) if (times[i] === t) return y[i];
  for (let i = 0; i + 1 < times.length; i++)
    if (times[i] < t && t < times[i + 1])
      return times[i + 1] - times[i] > maxGapMs
        ? NaN
        : y[i] + ((y[i + 1] - y[i]) * (t - times[i])) / (times[i + 1] - times[i]);
  return NaN;
}

describe('lnAt', () => {
  const times = Float64Array.of(0, 1, 2, 4, 9, 10).map((h) => FROM + h * HOUR);
  const y = Float64Array.of(1, 2, 0, 8, 3, NaN);
  const at = (hour: number, index = 0) => lnAt(times, y, FROM + hour * HOUR, { maxGapMs: 3 * HOUR, cursor: { index } });

  it('is straight between readings and the reading itself at a reading', () => {
    expect([0, 1, 2, 4, 9].map((h) => at(h))).toEqual([1, 2, 0, 8, 3]);
    expect([0.5, 1.25, 3].map((h) => at(h))).toEqual([1.5, 1.5, 4]);
  });

  it('is NaN before the first and after the last reading, across a wide gap and beside a missing reading', () => {
    for (const hour of [-1e-6, 10 + 1e-6, 4.001, 6.5, 8.999, 9.5, 10]) expect(at(hour), `hour ${hour}`).toBeNaN();
  });

  it('bridges a gap of exactly maxGap and no wider one', () => {
    const two = Float64Array.of(0, 3 * HOUR);
    const options = { cursor: { index: 0 } };
    expect(lnAt(two, Float64Array.of(0, 3), HOUR, { ...options, maxGapMs: 3 * HOUR })).toBe(1);
    expect(lnAt(two, Float64Array.of(0, 3), HOUR, { ...options, maxGapMs: 3 * HOUR - 1 })).toBeNaN();
  });

  it('is NaN for no reading at all, and for a time that is no number; one reading knows its own moment', () => {
    const cursor = { index: 0 };
    expect(lnAt(new Float64Array(0), new Float64Array(0), 0, { maxGapMs: HOUR, cursor })).toBeNaN();
    expect(at(NaN)).toBeNaN();
    const one = (t: number) => lnAt(Float64Array.of(5), Float64Array.of(7), t, { maxGapMs: HOUR, cursor });
    expect([one(4), one(5), one(6)]).toEqual([NaN, 7, NaN]);
  });

  it('does not depend on where it starts looking', () => {
    for (let hour = -1; hour <= 11; hour += 0.25)
      for (let index = -3; index <= 9; index++) expect(at(hour, index)).toEqual(at(hour));
  });

  it('leaves the cursor at the interval it found', () => {
    const cursor = { index: 5 };
    lnAt(times, y, FROM + 2.5 * HOUR, { maxGapMs: 3 * HOUR, cursor });
    expect(cursor.index).toBe(2);
    lnAt(times, y, FROM + 10 * HOUR, { maxGapMs: 3 * HOUR, cursor });
    expect(cursor.index).toBe(5);
  });

  it('agrees with a plain search for any record, in any order of questions', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 1, max: 60 }), (seed, n) => {
        const random = createRandom(seed);
        let t = FROM;
        const ts = Float64Array.from({ length: n }, () => (t += 1 + random.integer(4 * HOUR)));
        const ys = Float64Array.from({ length: n }, () => (random.uniform() < 0.1 ? NaN : random.normal()));
        const cursor = { index: random.integer(n) };
        for (let q = 0; q < 80; q++) {
          const when =
            random.uniform() < 0.3 ? ts[random.integer(n)] : FROM - HOUR + random.uniform() * (t - FROM + 2 * HOUR);
          const got = lnAt(ts, ys, when, { maxGapMs: 2 * HOUR, cursor });
          const expected = plainAt(ts, ys, when, 2 * HOUR);
          if (expected === expected) expectClose(got, expected, { abs: 1e-12, why: `time ${when}, seed ${seed}` });
          else expect(got).toBeNaN();
        }
      }),
      { numRuns: 60, seed: 1 },
    );
  });
});

describe('the previous reading in place of the line', () => {
  const times = Float64Array.of(0, 10, 20, 30);
  const at = (lnE: Float64Array, timeMs: number, maxGapMs = 15) =>
    lnAt(times, lnE, timeMs, { maxGapMs, cursor: { index: 0 }, interpolation: 'previous' });

  it('stands until the next one comes', () => {
    const lnE = Float64Array.of(1, 2, 5, 4);
    expect([0, 9.9, 10, 15, 29, 30].map((t) => at(lnE, t))).toEqual([1, 1, 2, 2, 5, 4]);
  });

  it('knows nothing where the line knows nothing: outside, across a gap, beside a missing reading', () => {
    const lnE = Float64Array.of(1, 2, NaN, 4);
    expect([-1, 31, 15, 25].map((t) => at(lnE, t))).toEqual([NaN, NaN, NaN, NaN]);
    expect(at(lnE, 5, 9)).toBe(NaN);
  });
});

import { describe, expect, it } from 'vitest';
import { areaRatio } from '../../../src/fit/rating/areaRatio.js';
import { celerityFromRating, kinematicCelerity } from '../../../src/fit/rating/celerity.js';
import { demingLine } from '../../../src/fit/rating/demingLine.js';
import { fitCurve } from '../../../src/fit/rating/fitCurve.js';
import { fitLine, invertLine, predictLine } from '../../../src/fit/rating/fitLine.js';
import { flowDuration, plottingPositions } from '../../../src/fit/rating/flowDuration.js';
import { invertCurve, predictCurve } from '../../../src/fit/rating/invertCurve.js';
import { isotonicBand, isotonicStep } from '../../../src/fit/rating/isotonicStep.js';
import { organicLine } from '../../../src/fit/rating/organicLine.js';
import { rankCorrelation } from '../../../src/fit/rating/rankCorrelation.js';
import { robustLine } from '../../../src/fit/rating/robustLine.js';
import { threePointOffset } from '../../../src/fit/rating/threePointOffset.js';
import { travelTime } from '../../../src/fit/rating/travelTime.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';

const x = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

describe('misuse is named', () => {
  it.each([
    [() => fitLine([1, 2], [1]), 'fitLine: x has 2 values, y has 1; they go in pairs'],
    [
      () => invertLine(fitLine([1, 2, 3], [1, 2, 4], { throughOrigin: true }), [1]),
      'invertLine: the line must have an intercept; fit without throughOrigin',
    ],
    [() => invertLine(fitLine(x, x), []), 'invertLine: at least one reading expected, got 0'],
    [() => invertLine(fitLine(x, x), [1, 2], { of: 'curve' }), 'invertLine: one value of the line expected, got 2'],
    [
      () => robustLine([1, 1, 2], [1, 2, 3], { interval: 'exact' }),
      "robustLine: interval 'exact' needs data without ties; leave the option out or take 'normal'",
    ],
    [() => demingLine(x, x, { xSd: x }), 'demingLine: xSd and ySd go together; give both or neither'],
    [
      () => demingLine(x, x, { xSd: x, ySd: x, varianceRatio: 1 }),
      'demingLine: varianceRatio can not be given together with xSd and ySd',
    ],
    [() => demingLine(x, x, { varianceRatio: 0 }), 'demingLine: varianceRatio must be above 0 and finite, got 0'],
    [
      () => fitCurve({ x, y: x }, { terms: ['a', 'b'], value: (v, [a, b]) => a + b * v }, { start: [1] }),
      'fitCurve: the model has 2 parameters (a, b), start has 1',
    ],
    [
      () => isotonicBand(x, x, { at: [1], seed: 1, resamples: 0 }),
      'isotonicBand: resamples must be a whole number above 0, got 0',
    ],
    [() => threePointOffset([1, 3, 2]), 'threePointOffset: three rising stages expected, got 1, 3, 2'],
    [
      () => kinematicCelerity(1, { bottomWidthM: 0, roughness: 0.04, slope: 0.01 }),
      'kinematicCelerity: a channel needs a bottom width or a side slope',
    ],
    [
      () => celerityFromRating(1, { coefficient: 1, exponent: 2, offsetM: 0, widthM: 0 }),
      'celerityFromRating: widthM must be above 0 and finite, got 0',
    ],
    [() => travelTime(100, { areaKm2: 0, flowM3s: 1 }), 'travelTime: areaKm2 must be above 0 and finite, got 0'],
    [
      () => areaRatio(-1, { areaKm2: 1, gaugeAreaKm2: 1 }),
      'areaRatio: gaugeDischarge must be 0 or more and finite, got -1',
    ],
    [() => plottingPositions(1.5), 'plottingPositions: n must be a whole number, got 1.5'],
  ])('%#', (act, message) => {
    expect(act).toThrow(new RangeError(message));
  });
});

describe('too little data is a status', () => {
  it('each function says so and gives NaN', () => {
    expect(fitLine([1, 2], [1, 2])).toMatchObject({ status: 'too-few-rows', slope: NaN, press: NaN });
    expect(fitLine([1, 1, 1], [1, 2, 3])).toMatchObject({ status: 'singular', slope: NaN });
    expect(invertLine(fitLine([1, 2], [1, 2]), [1])).toMatchObject({ status: 'no-fit', lower: NaN });
    expect(robustLine([1, 2], [1, 2])).toMatchObject({ status: 'too-few-rows', slope: NaN, slopeLower: NaN });
    expect(robustLine([1, 1, 1], [1, 2, 3])).toMatchObject({ status: 'constant', slope: NaN });
    expect(robustLine([1, 2, 3, 4], [1, 3, 2, 5])).toMatchObject({ slopeLower: -Infinity, slopeUpper: Infinity });
    expect(demingLine([1, 2], [1, 2])).toMatchObject({ status: 'too-few-rows', slope: NaN });
    expect(demingLine([1, 2, 1, 2], [1, 1, 2, 2]).status).toBe('vertical');
    expect(organicLine([1, 2], [1, 2])).toMatchObject({ status: 'too-few-rows', slope: NaN });
    expect(organicLine([1, 2, 3], [1, 1, 1])).toMatchObject({ status: 'constant', slope: NaN });
    expect(rankCorrelation([1, 2], [1, 2])).toMatchObject({ status: 'too-few-rows', kendall: NaN, spearmanP: NaN });
    expect(rankCorrelation([1, 1, 1], [1, 2, 3])).toMatchObject({ status: 'constant', kendall: NaN });
    expect(isotonicStep([], [])).toMatchObject({ status: 'too-few-rows', levels: 0 });
    expect(isotonicBand([1, 2], [1, 2], { at: [1], seed: 1 })).toMatchObject({ status: 'too-few-rows' });
    expect(flowDuration([], { exceeded: [0.5] })).toMatchObject({ status: 'too-few-rows', observations: 0 });
    expect(threePointOffset([1, 2, 3])).toMatchObject({ status: 'no-offset', offset: NaN });
    expect(celerityFromRating(0, { coefficient: 1, exponent: 2, offsetM: 0, widthM: 3 }).status).toBe('no-flow');
    const few = fitCurve(
      { x: [1, 2], y: [1, 2] },
      { terms: ['a', 'b'], value: (v, [a, b]) => a + b * v },
      { start: [1, 1] },
    );
    expect(few).toMatchObject({ status: 'too-few-rows', rss: NaN, df: 0 });
    expect(areaRatio(1, { areaKm2: 1, gaugeAreaKm2: 10 }).statusSentence).toBe(
      "This catchment is 0.1 times the gauge's: outside 0.5 to 1.5 the ratio of areas is a rough guess.",
    );
  });
});

describe('inverse prediction', () => {
  const y = [2, 4.1, 5.9, 8.2, 9.8, 12.1, 14, 15.8, 18.3, 20];
  it('ends where the predicted interval holds the reading', () => {
    const fit = fitLine(x, y);
    const { estimate, lower, upper, status } = invertLine(fit, [11]);
    expect(status).toBe('finite');
    expectClose(predictLine(fit, [estimate])[0].estimate, 11, { rel: 1e-12, why: 'estimate' });
    expectClose(predictLine(fit, [lower], { of: 'observation' })[0].upper, 11, { rel: 1e-12, why: 'lower' });
    expectClose(predictLine(fit, [upper], { of: 'observation' })[0].lower, 11, { rel: 1e-12, why: 'upper' });
  });
  it('a slope that could be 0 gives the whole line or two half-lines, and says which', () => {
    const flat = fitLine(x, [5, 6, 4, 5, 6, 5, 4, 6, 5, 5.2]);
    expect(invertLine(flat, [5])).toMatchObject({ status: 'whole-line', lower: -Infinity, upper: Infinity });
    const far = invertLine(flat, [30]);
    expect(far.status).toBe('two-half-lines');
    // Between the ends the line's interval does not hold the reading, outside it does.
    const middle = predictLine(flat, [0.5 * (far.lower + far.upper)], { of: 'observation' })[0];
    expect(middle.upper).toBeLessThan(30);
    const outside = predictLine(flat, [far.upper + 10], { of: 'observation' })[0];
    expect(Math.max(Math.abs(outside.upper), Math.abs(outside.lower))).toBeGreaterThan(30);
  });
  it('a curve that is a line agrees with the line', () => {
    const model = { terms: ['a', 'b'], value: (v: number, [a, b]: Float64Array) => a + b * v };
    const curve = fitCurve({ x, y }, model, { start: [0, 1] });
    const line = fitLine(x, y);
    curve.terms.forEach(({ estimate, lower, upper }, j) => {
      expectClose(estimate, line.terms[j].estimate, { abs: 1e-8, why: 'estimate' });
      expectClose(lower, line.terms[j].lower, { abs: 1e-7, why: 'lower: of a line the profile is Wald' });
      expectClose(upper, line.terms[j].upper, { abs: 1e-7, why: 'upper' });
    });
    for (const method of ['inversion', 'wald'] as const) {
      const one = invertCurve(curve, model, { y: [11], method });
      const two = invertLine(line, [11], { method });
      expectClose(one.lower, two.lower, { rel: 1e-7, why: `${method} lower` });
      expectClose(one.upper, two.upper, { rel: 1e-7, why: `${method} upper` });
    }
    expectClose(predictCurve(curve, model, { x: [3] })[0].upper, predictLine(line, [3])[0].upper, {
      rel: 1e-8,
      why: 'band',
    });
    expect(invertCurve(curve, model, { y: [99] }).status).toBe('no-fit');
  });
});

describe('the robust line', () => {
  it('is not moved by two wild readings, the ordinary one is', () => {
    const y = x.map((v) => 2 * v + 1);
    y[8] = 300;
    y[1] = -80;
    const line = robustLine(x, y);
    expectClose(line.slope, 2, { rel: 1e-12, why: 'slope' });
    expect(Math.abs(fitLine(x, y).slope - 2)).toBeGreaterThan(5);
  });
  it.each(['exact', 'normal'] as const)('covers as stated (%s)', (interval) => {
    const random = createRandom(3);
    let covered = 0;
    const worlds = 600;
    for (let w = 0; w < worlds; w++) {
      const line = robustLine(
        x,
        x.map((v) => 0.7 * v + random.normal()),
        { interval },
      );
      if (line.slopeLower <= 0.7 && 0.7 <= line.slopeUpper) covered++;
      expect(line.confidence).toBeGreaterThanOrEqual(interval === 'exact' ? 0.95 : 0.94);
    }
    expect(covered / worlds).toBeGreaterThanOrEqual(0.95 - 3 * Math.sqrt((0.95 * 0.05) / worlds));
  });
});

describe('isotonic steps', () => {
  it('are the best monotone fit: min-max formula by brute force', () => {
    const random = createRandom(8);
    const y = x.map((v) => 0.3 * v + random.normal());
    const { fitted } = isotonicStep(x, y);
    const mean = (a: number, b: number): number => y.slice(a, b + 1).reduce((s, v) => s + v, 0) / (b + 1 - a);
    x.forEach((_, i) => {
      let best = -Infinity;
      for (let a = 0; a <= i; a++) {
        let least = Infinity;
        for (let b = i; b < y.length; b++) least = Math.min(least, mean(a, b));
        best = Math.max(best, least);
      }
      expectClose(fitted[i], best, { abs: 1e-12, why: `row ${i}` });
    });
  });
  it('falling is rising upside down', () => {
    const y = [3, 1, 4, 1, 5, 9, 2, 6, 5, 3];
    for (const ties of ['primary', 'secondary', 'tertiary'] as const) {
      const falling = isotonicStep([1, 1, 2, 2, 3, 3, 4, 4, 5, 5], y, { direction: 'falling', ties });
      const mirrored = isotonicStep(
        [1, 1, 2, 2, 3, 3, 4, 4, 5, 5],
        y.map((v) => -v),
        { ties },
      );
      expect([...falling.fitted]).toEqual([...mirrored.fitted].map((v) => -v));
    }
  });
  it('the band repeats by seed, keeps groups together, and covers a smooth truth about as stated', () => {
    const n = 60;
    const xs = Array.from({ length: n }, (_, i) => i / n);
    const at = [0.25, 0.5, 0.75];
    let covered = 0;
    const worlds = 60;
    for (let w = 0; w < worlds; w++) {
      const random = createRandom(w);
      const y = xs.map((v) => 3 * v + 0.5 * random.normal());
      const { rows } = isotonicBand(xs, y, { at, seed: w, resamples: 199 });
      covered += rows.filter((row) => row.lower <= 3 * row.at && 3 * row.at <= row.upper).length;
    }
    expect(covered / (worlds * at.length)).toBeGreaterThan(0.88);
    const y = xs.map((v) => v * v);
    const once = isotonicBand(xs, y, { at, seed: 5, resamples: 50 });
    expect(isotonicBand(xs, y, { at, seed: 5, resamples: 50 })).toEqual(once);
    const together = xs.map((_, i) => i % 3);
    expect(isotonicBand(xs, y, { at, seed: 5, together }).status).toBe('too-few-rows');
    expect(isotonicBand(xs, y, { at: [-1, 2], seed: 5, resamples: 9 }).rows.map((r) => r.extent)).toEqual([
      'below',
      'above',
    ]);
  });
});

it('the Deming line finds a slope that the ordinary line flattens', () => {
  const random = createRandom(12);
  const truth = Array.from({ length: 400 }, () => 2 * random.normal());
  const xs = truth.map((v) => v + random.normal());
  const ys = truth.map((v) => 1.5 * v + random.normal());
  const slope = demingLine(xs, ys).terms[1];
  expect(slope.lower).toBeLessThan(1.5);
  expect(slope.upper).toBeGreaterThan(1.5);
  // Attenuation 4/(4 + 1).
  expectClose(fitLine(xs, ys).slope, 1.5 * 0.8, { rel: 0.08, why: 'flattened' });
});

import { describe, expect, it } from 'vitest';
import { ratingTests } from '../../../src/fit/rating/ratingTests.js';
import { expectClose } from '../../expectClose.js';

const curve = new Array<number>(10).fill(100);

describe('ratingTests by hand', () => {
  it('signs, runs and bias of ten gaugings', () => {
    // + + + + + + + - - + : 8 above, 2 changes.
    const measured = [101, 102, 101, 103, 102, 101, 102, 99, 98, 101];
    const { tests, status } = ratingTests(measured, curve);
    expect(status).toBe('ok');
    const [sign, runs, bias] = tests;
    expectClose(sign.statistic, 2.5 / Math.sqrt(2.5), { rel: 1e-12, why: '(|8 - 5| - 1/2)/√2.5' });
    // P(≤ 2 or ≥ 8 of 10) = 2·(1 + 10 + 45)/1024
    expectClose(sign.pValue, 112 / 1024, { rel: 1e-12, why: 'exact p' });
    expect(sign).toMatchObject({ pass: true, comment: '8 of 10 gaugings lie above the curve.' });
    expectClose(runs.statistic, 2 / 1.5, { rel: 1e-12, why: '(|2 - 4.5| - 1/2)/√(9/4)' });
    // Deviations 1 2 1 3 2 1 2 -1 -2 1: mean 1, Σ of squares about it 20.
    expectClose(bias.statistic, 1 / Math.sqrt(20 / 9 / 10), { rel: 1e-12, why: 'mean over its standard error' });
    expectClose(bias.threshold, 2.2621571627982, { rel: 1e-10, why: 't 0.975 of 9, as tabled' });
    expect(bias.pass).toBe(true);
  });

  it('all on one side fails sign and bias; order comes from the stage', () => {
    const stage = [1, 6, 2, 7, 3, 8, 4, 9, 5, 10];
    // In order of stage five above, then five below; in the order given they alternate.
    const measured = stage.map((h) => (h <= 5 ? 102 : 97));
    const [, byStage] = ratingTests(measured, curve, { stage }).tests;
    expect(byStage.comment).toBe('The sign changes 1 times along the stage; 4.5 were to be expected.');
    expect(byStage.pass).toBe(false);
    const [sign, , bias] = ratingTests(
      curve.map((q, i) => q + 3 + (i % 2)),
      curve,
    ).tests;
    expect([sign.pass, bias.pass]).toEqual([false, false]);
  });

  it('a perfect fit passes bias, and too few rows decide nothing', () => {
    expect(ratingTests(curve, curve).tests[2]).toMatchObject({ statistic: 0, pass: true });
    const few = ratingTests([1, 2], [1, 2]);
    expect(few.status).toBe('too-few-rows');
    expect(few.tests[0]).toMatchObject({
      pass: false,
      comment: '2 gaugings are too few for this test; it wants 6.',
    });
    expect(few.tests[0].statistic).toBeNaN();
  });

  it('wants pairs above 0', () => {
    expect(() => ratingTests([1], [0])).toThrow(new RangeError('ratingTests: curve[0] must be above 0, got 0'));
  });
});

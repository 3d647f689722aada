import { describe, expect, it } from 'vitest';
import { fitCurve } from '../../src/ratings/fitCurve.js';
import { flowDuration, plottingPositions } from '../../src/ratings/flowDuration.js';
import { invertCurve, predictCurve } from '../../src/ratings/invertCurve.js';
import { expectClose } from '../expectClose.js';

const x = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];
const y = [2, 4.1, 5.9, 8.2, 9.8, 12.1, 14, 15.8, 18.3, 20];
const model = { terms: ['a', 'b'], value: (v: number, [a, b]: Float64Array) => a + b * v };
const fit = fitCurve({ x, y }, model, { start: [0, 1] });

describe('misuse is named', () => {
  it.each([
    [
      () => fitCurve({ x: [1, 2], y: [1] }, model, { start: [0, 1] }),
      'fitCurve: x has 2 values, y has 1; they go in pairs',
    ],
    [() => fitCurve({ x, y: x }, model, { start: [1] }), 'fitCurve: the model has 2 parameters (a, b), start has 1'],
    [() => invertCurve(fit, model, { y: [] }), 'invertCurve: at least one reading expected, got 0'],
    [() => invertCurve(fit, model, { y: [1, 2], of: 'curve' }), 'invertCurve: one value of the curve expected, got 2'],
    [() => plottingPositions(1.5), 'plottingPositions: n must be a whole number, got 1.5'],
  ])('%#', (act, message) => {
    expect(act).toThrow(new RangeError(message));
  });

  it('too little data is a status, its numbers are NaN', () => {
    const few = fitCurve({ x: [1, 2], y: [1, 2] }, model, { start: [1, 1] });
    expect(few).toMatchObject({ status: 'too-few-rows', rss: NaN, df: 0 });
    expect(invertCurve(few, model, { y: [1] })).toMatchObject({ status: 'no-fit', lower: NaN });
    expect(flowDuration([], { exceeded: [0.5] })).toMatchObject({ status: 'too-few-rows', observations: 0 });
  });
});

describe('a straight line as a curve', () => {
  it('has the profile that Wald’s interval of a line is', () => {
    const wald = fitCurve({ x, y }, model, { start: [0, 1], intervals: 'wald' });
    fit.terms.forEach(({ lower, upper }, j) => {
      expectClose(lower, wald.terms[j].lower, { abs: 1e-7, why: 'lower' });
      expectClose(upper, wald.terms[j].upper, { abs: 1e-7, why: 'upper' });
    });
  });

  it('is inverted to where the predicted interval holds the reading', () => {
    const { estimate, lower, upper, status } = invertCurve(fit, model, { y: [11] });
    expect(status).toBe('finite');
    const at = (v: number, of: 'curve' | 'observation') => predictCurve(fit, model, { x: [v], of })[0];
    expectClose(at(estimate, 'curve').estimate, 11, { rel: 1e-10, why: 'estimate' });
    expectClose(at(lower, 'observation').upper, 11, { rel: 1e-10, why: 'lower' });
    expectClose(at(upper, 'observation').lower, 11, { rel: 1e-10, why: 'upper' });
    expect(invertCurve(fit, model, { y: [99] }).status).toBe('no-fit');
  });
});

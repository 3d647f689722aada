import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { studentCdf, studentCritical } from '../../../src/kernel/studentT.js';
import { fitCurve, type CurveModel } from '../../../src/ratings/fitCurve.js';
import { invertCurve, type InverseOptions } from '../../../src/ratings/invertCurve.js';
import { expectClose } from '../../expectClose.js';

/** Each file names its source, the kind of its expected values and its licence; `data` is complete. */
function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

interface Columns {
  readonly x: number[];
  readonly y: number[];
}

const power: CurveModel = { terms: ['b1', 'b2'], value: (x, b) => b[0] * x ** b[1] };

describe('profile-danwood-nls: profile and Wald intervals by R', () => {
  const { data, expected, tolerance } = load<{
    data: Columns;
    expected: {
      coef: Record<string, number>;
      ci95_profile_t: Record<string, [number, number]>;
      ci95_wald_t: Record<string, [number, number]>;
      loocv_pred: number[];
    };
    tolerance: { abs: number; loocv_rel: number };
  }>('profile-danwood-nls');
  it.each([
    ['profile', expected.ci95_profile_t],
    ['wald', expected.ci95_wald_t],
  ] as const)('%s', (intervals, ends) => {
    const fit = fitCurve(data, power, { start: [1, 5], intervals });
    fit.terms.forEach(({ term, estimate, lower, upper }) => {
      expectClose(estimate, expected.coef[term], { rel: 1e-7, why: term });
      expectClose(lower, ends[term][0], { abs: tolerance.abs, why: `${term} lower` });
      expectClose(upper, ends[term][1], { abs: tolerance.abs, why: `${term} upper` });
    });
  });

  it('each point foretold by the others', () => {
    expected.loocv_pred.forEach((value, i) => {
      const x = data.x.filter((_, k) => k !== i);
      const y = data.y.filter((_, k) => k !== i);
      const fit = fitCurve({ x, y }, power, { start: [1, 5], intervals: 'wald' });
      expectClose(power.value(data.x[i], fit.parameters), value, { rel: tolerance.loocv_rel, why: `point ${i}` });
    });
  });
});

describe('inverse-pred-linear: examples of Graybill & Iyer, printed results', () => {
  type Answer = { estimate: number; lower: number; upper: number; se: number | null };
  const { data, expected, tolerance } = load<{
    data: Record<string, Columns>;
    expected: Record<string, Answer> & { crystal_new5_wald_se: number; crystal_mean5_wald_se: number };
    tolerance: { abs: number };
  }>('inverse-pred-linear');
  const line: CurveModel = { terms: ['intercept', 'slope'], value: (x, [a, b]) => a + b * x };
  const invert = (set: string, y: number, options: Omit<InverseOptions, 'y'>) => {
    const fit = fitCurve(data[set], line, { start: [0, 1], intervals: 'wald' });
    // Far enough that no end of an interval is cut off.
    const span = fit.highestX - fit.lowestX;
    return invertCurve(fit, line, { y: [y], between: [fit.lowestX - span, fit.highestX + span], ...options });
  };
  const { abs } = tolerance;
  it.each([
    ['arsenic_y0_3_level90', 'arsenic', 3, { level: 0.9 }],
    ['arsenic_y0_3_level90_wald', 'arsenic', 3, { level: 0.9, method: 'wald' }],
    ['crystal_mean8_level95', 'crystal', 8, { of: 'curve' }],
    ['crystal_mean5_level90', 'crystal', 5, { of: 'curve', level: 0.9 }],
    ['thermostat_y0_104_level95', 'thermostat', 104, {}],
    ['thermostat_y0_100_level90', 'thermostat', 100, { level: 0.9 }],
    ['chamber_mean400_level99', 'chamber', 400, { of: 'curve', level: 0.99 }],
  ] as const)('%s', (key, set, y, options) => {
    const got = invert(set, y, options);
    expect(got.status).toBe('finite');
    expectClose(got.estimate, expected[key].estimate, { abs, why: 'estimate' });
    expectClose(got.lower, expected[key].lower, { abs, why: 'lower' });
    expectClose(got.upper, expected[key].upper, { abs, why: 'upper' });
    const { se } = expected[key];
    if (se !== null) expectClose(got.standardError, se, { abs, why: 'standard error' });
  });
  it('has the two standard errors of the crystal', () => {
    const wald = { method: 'wald' } as const;
    expectClose(invert('crystal', 5, wald).standardError, expected.crystal_new5_wald_se, { abs, why: 'a reading' });
    const mean = invert('crystal', 5, { ...wald, of: 'curve' }).standardError;
    expectClose(mean, expected.crystal_mean5_wald_se, { abs, why: 'the mean' });
  });
});

describe('inverse-pred-nonlinear: nasturtium, printed results', () => {
  type Answer = { estimate: number; lower: number; upper: number };
  const { data, expected, tolerance } = load<{
    data: { conc: number[]; weight: number[]; y0: number[] };
    expected: { coef: Record<string, number>; inversion: Answer; wald: Answer & { se: number } };
    tolerance: { abs: number };
  }>('inverse-pred-nonlinear');
  const model: CurveModel = {
    terms: ['theta1', 'theta2', 'theta3'],
    value: (x, [a, b, c]) => (x === 0 ? a : a / (1 + Math.exp(b + c * Math.log(x)))),
  };
  const fit = fitCurve({ x: data.conc, y: data.weight }, model, { start: [1000, -1, 1], intervals: 'wald' });
  it('has the curve', () => {
    fit.terms.forEach(({ term, estimate }) => expectClose(estimate, expected.coef[term], { rel: 1e-6, why: term }));
  });
  it.each(['inversion', 'wald'] as const)('%s', (method) => {
    // The printed interval takes Student's t with n + m - p - 1 = 41 degrees of freedom though its s has the curve's 39; ours
    // keeps 39. At the level where the two t agree the intervals do.
    const t = studentCritical(0.95, { df: 41 });
    const level = 2 * studentCdf(t, { df: 39 }) - 1;
    expect(fit.df).toBe(39);
    const got = invertCurve(fit, model, { y: data.y0, method, level });
    const { abs } = tolerance;
    expectClose(got.estimate, expected[method].estimate, { abs, why: 'estimate' });
    expectClose(got.lower, expected[method].lower, { abs, why: 'lower' });
    expectClose(got.upper, expected[method].upper, { abs, why: 'upper' });
    if (method === 'wald') expectClose(got.standardError, expected.wald.se, { abs, why: 'standard error' });
  });
});

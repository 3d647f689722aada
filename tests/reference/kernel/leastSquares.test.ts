import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../../src/kernel/leastSquares.js';
import { ranks } from '../../../src/kernel/ranks.js';
import { expectClose } from '../../expectClose.js';

/** Each file names its source, the kind of its expected values and its licence; `data` is complete. */
function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

interface Columns {
  readonly x: number[];
  readonly y: number[];
}

/** A straight line with the standard errors of its coefficients. */
function line(x: ArrayLike<number>, y: ArrayLike<number>, throughOrigin = false) {
  const n = x.length;
  const p = throughOrigin ? 1 : 2;
  const columns = Float64Array.from({ length: n * p }, (_, i) => (p === 2 && i % 2 === 0 ? 1 : x[Math.floor(i / p)]));
  const fit = leastSquares(columns, Float64Array.from(y), { n, p });
  const residualSd = Math.sqrt(fit.rss / (n - p));
  const errors = Array.from({ length: p }, (_, j) => residualSd * Math.sqrt(fit.unscaledCovariance[j * p + j]));
  return { ...fit, residualSd, errors };
}

/** Σ of squares about the mean; through the origin about 0, as NIST does. */
function total(y: ArrayLike<number>, throughOrigin = false): number {
  const mean = throughOrigin ? 0 : Array.from(y).reduce((a, b) => a + b, 0) / y.length;
  return Array.from(y).reduce((sum, v) => sum + (v - mean) ** 2, 0);
}

describe.each(['norris', 'noint1', 'noint2'])('NIST StRD linear, certified: %s', (name) => {
  const check = load<{
    data: Columns;
    expected: {
      parameters_certified: Record<string, { estimate: string; sd: string }>;
      residual_sd: string;
      r_squared: string;
      anova: { Residual: { ss: string } };
    };
    tolerance: { relative: number };
  }>(`nist-lin-${name}`);
  it('holds to the certified digits', () => {
    const { expected } = check;
    const { x, y } = check.data;
    const origin = name !== 'norris';
    const fit = line(x, y, origin);
    // The file asks for 1e-9; twelve digits are there.
    const rel = 1e-12;
    expect(rel).toBeLessThan(check.tolerance.relative);
    Object.values(expected.parameters_certified).forEach(({ estimate, sd }, j) => {
      expectClose(fit.coefficients[j], Number(estimate), { rel, why: `coefficient ${j}` });
      expectClose(fit.errors[j], Number(sd), { rel, why: `sd of coefficient ${j}` });
    });
    expectClose(fit.residualSd, Number(expected.residual_sd), { rel, why: 's' });
    expectClose(1 - fit.rss / total(y, origin), Number(expected.r_squared), { rel, why: 'R²' });
    expectClose(fit.rss, Number(expected.anova.Residual.ss), { rel, why: 'rss' });
  });
});

describe('loocv-cars: leaving one out, by boot::cv.glm', () => {
  const { data, expected, tolerance } = load<{
    data: { speed: number[]; dist: number[] };
    expected: { coef: number[]; press: number; mse_loo: number; loo_residuals: number[] };
    tolerance: { rel: number };
  }>('loocv-cars');
  it('agrees by the identity and by refitting', () => {
    const { rel } = tolerance;
    const fit = line(data.speed, data.dist);
    const leftOut = fit.residuals.map((r, i) => r / (1 - fit.leverages[i]));
    const press = leftOut.reduce((sum, r) => sum + r * r, 0);
    expected.coef.forEach((c, j) => expectClose(fit.coefficients[j], c, { rel, why: `coefficient ${j}` }));
    expectClose(press, expected.press, { rel, why: 'PRESS' });
    expectClose(press / data.speed.length, expected.mse_loo, { rel, why: 'mean square' });
    expected.loo_residuals.forEach((r, i) => {
      expectClose(leftOut[i], r, { rel, why: `row ${i}` });
      const others = (values: number[]): number[] => values.filter((_, k) => k !== i);
      const [a, b] = line(others(data.speed), others(data.dist)).coefficients;
      const by = data.dist[i] - a - b * data.speed[i];
      expectClose(leftOut[i], by, { abs: 1e-9, why: `row ${i} refitted` });
    });
  });
});

describe('recession-chattooga-2012: ln discharge on days, by R', () => {
  type Limb = { k_per_day: number; tau_days: number; lnQ0: number; se_slope: number; r2: number };
  const { data, expected, tolerance } = load<{
    data: { day: number[]; Q_cfs: number[] };
    expected: Record<'whole_limb' | 'from_day_3' | 'from_day_6', Limb>;
    tolerance: { rel: number };
  }>('recession-chattooga-2012');
  it.each([
    ['whole_limb', 0],
    ['from_day_3', 3],
    ['from_day_6', 6],
  ] as const)('%s', (key, from) => {
    const { rel } = tolerance;
    const ln = data.Q_cfs.slice(from).map(Math.log);
    const fit = line(data.day.slice(from), ln);
    const [intercept, slope] = fit.coefficients;
    const { k_per_day, tau_days, lnQ0, se_slope, r2 } = expected[key];
    expectClose(Math.exp(slope), k_per_day, { rel, why: 'k' });
    expectClose(-1 / slope, tau_days, { rel, why: 'τ' });
    expectClose(intercept, lnQ0, { rel, why: 'ln Q0' });
    expectClose(fit.errors[1], se_slope, { rel, why: 'se of the slope' });
    expectClose(1 - fit.rss / total(ln), r2, { rel, why: 'R²' });
  });
});

it('loc-move1: ordinary least squares by R', () => {
  const { data, expected, tolerance } = load<{
    data: Columns;
    expected: Record<'ols_intercept' | 'ols_slope', number>;
    tolerance: { rel: number };
  }>('loc-move1');
  const [a, b] = line(data.x, data.y).coefficients;
  expectClose(a, expected.ols_intercept, { rel: tolerance.rel, why: 'intercept' });
  expectClose(b, expected.ols_slope, { rel: tolerance.rel, why: 'slope' });
});

it('two-gauge-record-extension: one gauge on the other, plain and in ln units, and the years held out', () => {
  const { data, expected, tolerance } = load<{
    data: { Base_sf: number[]; Short_sf: (number | null)[]; Actual_early_sf: (number | null)[] };
    expected: {
      n: number;
      ols: { intercept: number; slope: number; r2: number; s: number };
      log: { ols: [number, number] };
      holdout_early_30: Record<string, number>;
    };
    tolerance: { rel: number };
  }>('two-gauge-record-extension');
  const { rel } = tolerance;
  const both = data.Short_sf.flatMap((y, i) => (y === null ? [] : [{ x: data.Base_sf[i], y }]));
  const [x, y] = [both.map((row) => row.x), both.map((row) => row.y)];
  expect(x).toHaveLength(expected.n);
  const fit = line(x, y);
  expectClose(fit.coefficients[0], expected.ols.intercept, { rel, why: 'intercept' });
  expectClose(fit.coefficients[1], expected.ols.slope, { rel, why: 'slope' });
  expectClose(1 - fit.rss / total(y), expected.ols.r2, { rel, why: 'R²' });
  expectClose(fit.residualSd, expected.ols.s, { rel, why: 's' });
  const [a, b] = line(x.map(Math.log), y.map(Math.log)).coefficients;
  expectClose(a, expected.log.ols[0], { rel, why: 'ln intercept' });
  expectClose(b, expected.log.ols[1], { rel, why: 'ln slope' });
  const off = data.Actual_early_sf.flatMap((q, i) =>
    q === null ? [] : [a + b * Math.log(data.Base_sf[i]) - Math.log(q)],
  );
  expect(off).toHaveLength(expected.holdout_early_30['n']);
  const rmse = Math.sqrt(off.reduce((sum, d) => sum + d * d, 0) / off.length);
  expectClose(rmse, expected.holdout_early_30['rmse_log_ols'], { rel, why: 'years held out' });
});

it.each([
  ['kendall-spearman-tuna', 'spearman_rho'],
  ['kendall-spearman-scipy', 'rho'],
  ['kendall-spearman-ties', 'rho'],
])('%s: Spearman’s ρ is the correlation of the ranks', (name, key) => {
  const { data, expected, tolerance } = load<{
    data: Columns;
    expected: Record<string, number>;
    tolerance: { abs: number };
  }>(name);
  const [a, b] = [ranks(data.x), ranks(data.y)];
  const fit = line(a, b);
  const rho = Math.sign(fit.coefficients[1]) * Math.sqrt(1 - fit.rss / total(b));
  expectClose(rho, expected[key], { abs: tolerance.abs, why: 'ρ' });
});

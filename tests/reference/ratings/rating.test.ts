import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fitRating } from '../../../src/ratings/fitRating.js';
import { predictRating, stageForDischarge } from '../../../src/ratings/predictRating.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { expectClose } from '../../expectClose.js';

function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

interface Pair {
  readonly [term: string]: readonly [number, number];
}

/** 38 gaugings of a large river by the USGS (public domain); numbers by R, see the file. */
const fort = load<{
  data: { gage_height_ft: number[]; discharge_cfs: number[] };
  expected: {
    log_space: {
      la: number;
      a: number;
      b: number;
      h0: number;
      se: { la: number; b: number; h0: number };
      rss_log: number;
      sigma_log_df35: number;
      vcov_la_b_h0: number[][];
      ci95_profile_t: Pair;
      ci90_profile_t: Pair;
      h0_profile_LR_chisq95: [number, number];
      h0_profile_LR_chisq90: [number, number];
      h0_profile_table: { h0: number[]; rss_log: number[] };
      prediction: Record<'h' | 'Q' | 'ci95_mean_lo' | 'ci95_mean_hi' | 'pi95_lo' | 'pi95_hi', number[]>;
      smearing_factor_Duan: number;
    };
    natural_space: {
      a: number;
      b: number;
      h0: number;
      se: { a: number; b: number; h0: number };
      rss: number;
      sigma_df35: number;
      ci95_profile_t: Pair;
    };
    h0_fixed_0: { la: number; b: number; se: [number, number]; rss_log: number };
  };
  tolerance: { coef_rel: number; se_rel: number; profile_ci_abs: number; h0_LR_abs: number };
}>('rating-fort-benton');
const { gage_height_ft: stage, discharge_cfs: discharge } = fort.data;
const { coef_rel, se_rel, profile_ci_abs, h0_LR_abs } = fort.tolerance;

describe('rating-fort-benton in ln units', () => {
  const fit = fitRating(stage, discharge);
  const expected = fort.expected.log_space;
  const [C, b, h0] = fit.terms;

  it('has the coefficients of R', () => {
    expect(fit.status).toBe('converged');
    expectClose(fit.parameters[0], expected.la, { rel: coef_rel, why: 'ln C' });
    expectClose(C.estimate, expected.a, { rel: coef_rel, why: 'C' });
    expectClose(b.estimate, expected.b, { rel: coef_rel, why: 'b' });
    // Ten times closer than the file asks, with R's own stopping rule in between.
    expectClose(h0.estimate, expected.h0, { rel: coef_rel, why: 'h0' });
    expectClose(fit.rss, expected.rss_log, { rel: 1e-9, why: 'rss' });
    expectClose(fit.residualSd, expected.sigma_log_df35, { rel: 1e-9, why: 's' });
    expectClose(fit.smearing, expected.smearing_factor_Duan, { rel: 1e-8, why: 'smearing' });
    expect(fit.df).toBe(35);
  });

  it('has its covariance', () => {
    expected.vcov_la_b_h0.flat().forEach((v, i) => {
      expectClose(fit.covariance[i], v, { rel: se_rel, why: `covariance ${i}` });
    });
    expectClose(b.standardError, expected.se.b, { rel: se_rel, why: 'se b' });
    expectClose(h0.standardError, expected.se.h0, { rel: se_rel, why: 'se h0' });
    expectClose(C.standardError / C.estimate, expected.se.la, { rel: se_rel, why: 'se ln C' });
  });

  it.each([
    [0.95, expected.ci95_profile_t],
    [0.9, expected.ci90_profile_t],
  ])('has the profile intervals at %d, that of h0 skewed', (level, ends) => {
    const at = fitRating(stage, discharge, { level }).terms;
    [Math.log(at[0].lower), Math.log(at[0].upper)].forEach((end, i) => {
      expectClose(end, ends['la'][i], { abs: profile_ci_abs, why: 'ln C' });
    });
    [at[1].lower, at[1].upper].forEach((end, i) => {
      expectClose(end, ends['b'][i], { abs: profile_ci_abs, why: 'b' });
    });
    [at[2].lower, at[2].upper].forEach((end, i) => {
      expectClose(end, ends['h0'][i], { abs: profile_ci_abs, why: 'h0' });
    });
    expect(at[2].estimate - at[2].lower).toBeGreaterThan(at[2].upper - at[2].estimate);
  });

  it('has the profile of h0, by holding it at each value', () => {
    const { h0: held, rss_log: rss } = expected.h0_profile_table;
    held.forEach((offset, i) => {
      expectClose(fitRating(stage, discharge, { offset }).rss, rss[i], { rel: 1e-9, why: `h0 = ${offset}` });
    });
  });

  it.each([
    [0.95, expected.h0_profile_LR_chisq95],
    [0.9, expected.h0_profile_LR_chisq90],
  ])('crosses the likelihood-ratio limit at %d where R does', (level, ends) => {
    const limit = normalQuantile(0.5 + level / 2) ** 2;
    const ratio = (offset: number): number =>
      stage.length * Math.log(fitRating(stage, discharge, { offset }).rss / fit.rss) - limit;
    // Outside by the tolerance it is over the limit, inside by the tolerance it is under it.
    expect(Math.sign(ratio(ends[0] - h0_LR_abs))).toBe(1);
    expect(Math.sign(ratio(ends[0] + h0_LR_abs))).toBe(-1);
    expect(Math.sign(ratio(ends[1] + h0_LR_abs))).toBe(1);
    expect(Math.sign(ratio(ends[1] - h0_LR_abs))).toBe(-1);
  });

  it('predicts, for the curve and for one more gauging', () => {
    const { h, Q, ci95_mean_lo, ci95_mean_hi, pi95_lo, pi95_hi } = expected.prediction;
    const curve = predictRating(fit, h);
    const gauging = predictRating(fit, h, { of: 'gauging' });
    h.forEach((at, i) => {
      expectClose(curve[i].estimate, Q[i], { rel: coef_rel, why: `Q at ${at}` });
      expectClose(curve[i].lower, ci95_mean_lo[i], { rel: coef_rel, why: `lower at ${at}` });
      expectClose(curve[i].upper, ci95_mean_hi[i], { rel: coef_rel, why: `upper at ${at}` });
      expectClose(gauging[i].lower, pi95_lo[i], { rel: coef_rel, why: `lower gauging at ${at}` });
      expectClose(gauging[i].upper, pi95_hi[i], { rel: coef_rel, why: `upper gauging at ${at}` });
      const back = stageForDischarge(fit, [Q[i]])[0];
      expectClose(back.estimate, at, { rel: 1e-5, why: 'and back' });
      // Inversion: at its lower end the upper bound of the curve has just this discharge.
      expectClose(predictRating(fit, [back.lower])[0].upper, Q[i], { rel: 1e-9, why: 'lower end' });
      expectClose(predictRating(fit, [back.upper])[0].lower, Q[i], { rel: 1e-9, why: 'upper end' });
    });
  });

  it('with h0 held at 0 is a straight line of logarithms', () => {
    const held = fitRating(stage, discharge, { offset: 0 });
    const { la, b: slope, se, rss_log } = fort.expected.h0_fixed_0;
    expectClose(held.parameters[0], la, { rel: 1e-9, why: 'ln C' });
    expectClose(held.parameters[1], slope, { rel: 1e-9, why: 'b' });
    expectClose(held.terms[0].standardError / held.terms[0].estimate, se[0], { rel: 1e-6, why: 'se ln C' });
    expectClose(held.terms[1].standardError, se[1], { rel: 1e-6, why: 'se b' });
    expectClose(held.rss, rss_log, { rel: 1e-9, why: 'rss' });
    expect(held.df).toBe(36);
    expect(held.terms[2]).toMatchObject({ estimate: 0, standardError: 0, lower: 0, upper: 0 });
  });
});

describe('rating-fort-benton in natural units', () => {
  const fit = fitRating(stage, discharge, { errors: 'natural' });
  const expected = fort.expected.natural_space;
  it('has the coefficients, standard errors and profile intervals of R', () => {
    const [C, b, h0] = fit.terms;
    expectClose(C.estimate, expected.a, { rel: coef_rel, why: 'C' });
    expectClose(b.estimate, expected.b, { rel: coef_rel, why: 'b' });
    expectClose(h0.estimate, expected.h0, { rel: coef_rel, why: 'h0' });
    expectClose(C.standardError, expected.se.a, { rel: se_rel, why: 'se C' });
    expectClose(b.standardError, expected.se.b, { rel: se_rel, why: 'se b' });
    expectClose(h0.standardError, expected.se.h0, { rel: se_rel, why: 'se h0' });
    expectClose(fit.rss, expected.rss, { rel: 1e-9, why: 'rss' });
    expectClose(fit.residualSd, expected.sigma_df35, { rel: 1e-9, why: 's' });
    [b.lower, b.upper].forEach((end, i) => {
      expectClose(end, expected.ci95_profile_t['b'][i], { abs: profile_ci_abs, why: 'b' });
    });
    [h0.lower, h0.upper].forEach((end, i) => {
      expectClose(end, expected.ci95_profile_t['h0'][i], { abs: profile_ci_abs, why: 'h0' });
    });
  });
});

describe('rating-fort-benton-scipy: a second reference', () => {
  const { data, expected, tolerance } = load<{
    data: { gage_height_ft: number[]; discharge_cfs: number[] };
    expected: {
      log_space: { la: number; b: number; h0: number; se: number[] };
      natural_space: { a: number; b: number; h0: number };
    };
    tolerance: { rel: number };
  }>('rating-fort-benton-scipy');
  it('agrees in ln and in natural units', () => {
    const ln = fitRating(data.gage_height_ft, data.discharge_cfs);
    [expected.log_space.la, expected.log_space.b, expected.log_space.h0].forEach((value, j) => {
      expectClose(ln.parameters[j], value, { rel: tolerance.rel, why: `ln ${j}` });
      expectClose(Math.sqrt(ln.covariance[j * 4]), expected.log_space.se[j], { rel: 1e-5, why: `se ${j}` });
    });
    const natural = fitRating(data.gage_height_ft, data.discharge_cfs, { errors: 'natural' });
    const { a, b, h0 } = expected.natural_space;
    [a, b, h0].forEach((value, j) => {
      expectClose(natural.terms[j].estimate, value, { rel: tolerance.rel, why: `natural ${j}` });
    });
  });
});

describe('rating-exact-powerlaw: no noise', () => {
  const { data, expected, tolerance } = load<{
    data: { h: number[]; Q: number[] };
    expected: { a: number; b: number; h0: number };
    tolerance: { rel: number };
  }>('rating-exact-powerlaw');
  it.each(['ln', 'natural'] as const)('comes back in %s units', (errors) => {
    const { terms, status } = fitRating(data.h, data.Q, { errors });
    expect(status).toBe('converged');
    [expected.a, expected.b, expected.h0].forEach((value, j) => {
      expectClose(terms[j].estimate, value, { rel: tolerance.rel, why: terms[j].term });
    });
  });
});

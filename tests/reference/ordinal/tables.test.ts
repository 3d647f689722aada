import { describe, expect, it } from 'vitest';
import { fitCumulativeLink, type CumulativeLinkFit } from '../../../src/fit/cumulativeLink.js';
import type { CumulativeLinkData } from '../../../src/fit/cumulativeLinkData.js';
import { cumulativeLinkProbabilities } from '../../../src/fit/cumulativeLinkProbabilities.js';
import { choleskyFactor, choleskyInverse } from '../../../src/kernel/cholesky.js';
import { cellDerivatives } from '../../../src/kernel/link.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { expectClose } from '../../expectClose.js';
import { dummy, expectFit, holdLocation, loadCheck, profileInterval, type ReferenceFit } from './cases.js';

describe('ord-null-closed-form: thresholds only', () => {
  const { data: table, expected } = loadCheck<
    { counts: number[] },
    { theta_logit: number[]; theta_probit: number[]; logLik: number; se_logit: number[] }
  >('ord-null-closed-form');
  const data = {
    classes: ['1', '2', '3', '4', '5'],
    classIndex: Int32Array.of(0, 1, 2, 3, 4),
    weights: Float64Array.from(table.counts),
  };

  it('has the closed form under both links', () => {
    const logit = fitCumulativeLink(data, { link: 'logit' });
    const probit = fitCumulativeLink(data);
    expectClose(logit.logLik, expected.logLik, { abs: 1e-8, why: 'Σ n ln(n/N)' });
    expectClose(probit.logLik, expected.logLik, { abs: 1e-8, why: 'Σ n ln(n/N)' });
    expected.theta_logit.forEach((t, k) => {
      expectClose(logit.thresholds[k], t, { abs: 1e-8, why: 'logit of the cumulative share' });
      expectClose(probit.thresholds[k], expected.theta_probit[k], { abs: 1e-8, why: 'Φ⁻¹ of the cumulative share' });
      expectClose(logit.terms[k].standardError, expected.se_logit[k], { abs: 1e-8, why: 'binomial delta method' });
    });
    expect(logit.observations).toBe(72);
  });
});

describe('ord-housing-polr: frequencies and factors', () => {
  interface Housing {
    Sat: string[];
    Infl: string[];
    Type: string[];
    Cont: string[];
    Freq: number[];
    levels: { Sat: string[] };
  }
  interface Polr {
    coef: Record<string, number>;
    zeta: Record<string, number>;
    se: Record<string, number>;
    deviance: number;
    ci95_profile: Record<string, [number, number]>;
  }
  const { data: table, expected } = loadCheck<Housing, { logit: Polr; probit: Polr }>('ord-housing-polr');
  const data: CumulativeLinkData = {
    classes: table.levels.Sat,
    classIndex: Int32Array.from(table.Sat, (s) => table.levels.Sat.indexOf(s)),
    weights: Float64Array.from(table.Freq),
    location: {
      InflMedium: dummy(table.Infl, 'Medium'),
      InflHigh: dummy(table.Infl, 'High'),
      TypeApartment: dummy(table.Type, 'Apartment'),
      TypeAtrium: dummy(table.Type, 'Atrium'),
      TypeTerrace: dummy(table.Type, 'Terrace'),
      ContHigh: dummy(table.Cont, 'High'),
    },
  };

  it.each(['logit', 'probit'] as const)('%s', (link) => {
    const { coef, zeta, se, deviance } = expected[link];
    const fit = fitCumulativeLink(data, { link });
    // polr stops when the deviance settles: its last coefficients carry about 1e-6 of its scale.
    expectFit(fit, { coef: { ...coef, ...zeta }, se, logLik: -deviance / 2 }, { what: `housing ${link}` });
    expect(fit.observations).toBe(1681);
  });

  it('has the profile interval of ContHigh', () => {
    const fit = fitCumulativeLink(data, { link: 'logit' });
    const ends = profileInterval(
      (held) => fitCumulativeLink(holdLocation(data, 'ContHigh', held), { link: 'logit' }).logLik,
      { ...fit.terms.find((t) => t.term === 'ContHigh')!, logLik: fit.logLik },
    );
    ends.forEach((end, i) =>
      expectClose(end, expected.logit.ci95_profile.ContHigh[i], { abs: 1e-3, why: 'profile end' }),
    );
  });

  it('does not depend on how frequencies are written: one row each gives the same', () => {
    const rows = table.Freq.flatMap((n, i) => new Array<number>(n).fill(i));
    const spread = fitCumulativeLink(
      {
        classes: data.classes,
        classIndex: Int32Array.from(rows, (i) => data.classIndex[i]),
        location: Object.fromEntries(
          Object.entries(data.location!).map(([name, x]) => [name, Float64Array.from(rows, (i) => x[i])]),
        ),
      },
      { link: 'logit' },
    );
    const packed = fitCumulativeLink(data, { link: 'logit' });
    expectClose(spread.logLik, packed.logLik, { rel: 1e-12, why: 'the same sum in another order' });
    expectClose(spread.terms[4].estimate, packed.terms[4].estimate, { rel: 1e-9, why: 'the same maximum' });
  });
});

interface Mental {
  mental: number[];
  ses: number[];
  life: number[];
}

function mentalData({ mental, ses, life }: Mental): CumulativeLinkData {
  return {
    classes: ['1', '2', '3', '4'],
    classIndex: Int32Array.from(mental, (m) => m - 1),
    location: { ses: Float64Array.from(ses), life: Float64Array.from(life) },
  };
}

describe('ord-mental-impairment', () => {
  const { data: table, expected } = loadCheck<Mental, Record<'logit' | 'interaction' | 'probit', ReferenceFit>>(
    'ord-mental-impairment',
  );
  const data = mentalData(table);

  it('has the logit, probit and interaction fits', () => {
    expectFit(fitCumulativeLink(data, { link: 'logit' }), expected.logit, { what: 'mental logit' });
    expectFit(fitCumulativeLink(data), expected.probit, { what: 'mental probit' });
    const product = data.location!.ses.map((s, i) => s * data.location!.life[i]);
    const interaction = fitCumulativeLink(
      { ...data, location: { ...data.location, 'ses:life': product } },
      { link: 'logit' },
    );
    expectFit(interaction, expected.interaction, { what: 'mental interaction' });
  });

  it('has the profile intervals, logit and probit', () => {
    for (const link of ['logit', 'probit'] as const) {
      const fit = fitCumulativeLink(data, { link });
      for (const name of ['ses', 'life']) {
        const ends = profileInterval((held) => fitCumulativeLink(holdLocation(data, name, held), { link }).logLik, {
          ...fit.terms.find((t) => t.term === name)!,
          logLik: fit.logLik,
        });
        ends.forEach((end, i) =>
          expectClose(end, expected[link].ci95_profile![name][i], { abs: 1e-3, why: `${link} ${name} profile end` }),
        );
      }
    }
  });
});

describe('ord-threshold-inversion: the covariate value at an even chance', () => {
  it('has the boundary, its delta-method error and Fieller interval from our covariance', () => {
    const { data: table, expected } = loadCheck<
      Mental,
      Record<
        'level95' | 'level80',
        Record<string, { x50: number; se_delta: number; delta_ci: number[]; fieller_A: number; fieller_ci: number[] }>
      >
    >('ord-threshold-inversion');
    const fit = fitCumulativeLink(mentalData(table), { link: 'logit' });
    const P = 5;
    const b = fit.terms[4].estimate;
    const vb = fit.covariance[4 * P + 4];
    for (const [level, key] of [
      [0.95, 'level95'],
      [0.8, 'level80'],
    ] as const) {
      const z = normalQuantile(0.5 + level / 2);
      ['1|2', '2|3', '3|4'].forEach((edge, k) => {
        const theirs = expected[key][edge];
        const t = fit.thresholds[k];
        const vt = fit.covariance[k * P + k];
        const ctb = fit.covariance[k * P + 4];
        const x = t / b;
        const se = Math.sqrt(vt - 2 * x * ctb + x * x * vb) / b;
        expectClose(x, theirs.x50, { rel: 1e-5, why: `${edge}: θ/β` });
        expectClose(se, theirs.se_delta, { rel: 1e-4, why: `${edge}: delta method` });
        expectClose(x - z * se, theirs.delta_ci[0], { rel: 1e-4, abs: 1e-4, why: `${edge}: lower end` });
        // Fieller: the x with (θ - xβ)² ≤ z²·var(θ - xβ), a quadratic A·x² - 2B·x + C ≤ 0.
        const A = b * b - z * z * vb;
        const B = t * b - z * z * ctb;
        const C = t * t - z * z * vt;
        const root = Math.sqrt(B * B - A * C);
        expectClose(A, theirs.fieller_A, { rel: 1e-4, why: `${edge}: A` });
        expectClose((B - root) / A, theirs.fieller_ci[0], { rel: 1e-4, abs: 1e-4, why: `${edge}: Fieller lower` });
        expectClose((B + root) / A, theirs.fieller_ci[1], { rel: 1e-4, abs: 1e-4, why: `${edge}: Fieller upper` });
      });
    }
  });
});

/** Standard errors from the expected information: every class of every row, weighed by its probability. */
function expectedInformationErrors(fit: CumulativeLinkFit, data: CumulativeLinkData): Float64Array {
  const P = fit.terms.length;
  const T = fit.thresholds.length;
  const x = Object.values(data.location!);
  const information = new Float64Array(P * P);
  const cell = new Float64Array(6);
  const slope = new Float64Array(P);
  data.classIndex.forEach((_, i) => {
    const centre = x.reduce((sum, column, l) => sum + column[i] * fit.terms[T + l].estimate, 0);
    for (let k = 0; k <= T; k++) {
      const a = k === 0 ? -Infinity : fit.thresholds[k - 1] - centre;
      const b = k === T ? Infinity : fit.thresholds[k] - centre;
      cellDerivatives(cell, 0, a, b, 1);
      slope.fill(0);
      if (k > 0) slope[k - 1] = cell[1];
      if (k < T) slope[k] = cell[2];
      x.forEach((column, l) => (slope[T + l] = -column[i] * (cell[1] + cell[2])));
      const w = (data.weights?.[i] ?? 1) * Math.exp(cell[0]);
      for (let q = 0; q < P; q++) for (let r = 0; r < P; r++) information[q * P + r] += w * slope[q] * slope[r];
    }
  });
  expect(choleskyFactor(information, P)).toBe('ok');
  const inverse = new Float64Array(P * P);
  choleskyInverse(information, P, inverse);
  return Float64Array.from({ length: P }, (_, q) => Math.sqrt(inverse[q * P + q]));
}

describe('ord-expected-information-se: a third engine, Fisher scoring', () => {
  interface Scoring {
    coef_alpha_plus_xb: Record<string, number>;
    se_expected_information: Record<string, number>;
    logLik_kernel: number;
  }
  const { data, expected } = loadCheck<
    { mental: Mental; cheese_counts_A_B_C_D: number[][] },
    { mental: Scoring; cheese: Scoring }
  >('ord-expected-information-se');

  function compare(rows: CumulativeLinkData, theirs: Scoring, { logLikAbs }: { logLikAbs?: number }): void {
    const fit = fitCumulativeLink(rows, { link: 'logit' });
    const errors = expectedInformationErrors(fit, rows);
    const names = Object.keys(theirs.coef_alpha_plus_xb);
    expect(names).toHaveLength(fit.terms.length);
    names.forEach((name, q) => {
      // Their convention is logit P(Y ≤ k) = α_k + xᵀb.
      const sign = q < fit.thresholds.length ? 1 : -1;
      expectClose(sign * fit.terms[q].estimate, theirs.coef_alpha_plus_xb[name], { rel: 1e-5, abs: 1e-6, why: name });
      expectClose(errors[q], theirs.se_expected_information[name], { rel: 1e-4, why: `s.e. of ${name}` });
    });
    if (logLikAbs) expectClose(fit.logLik, theirs.logLik_kernel, { abs: logLikAbs, why: 'log-likelihood' });
  }

  it('mental impairment', () => compare(mentalData(data.mental), expected.mental, { logLikAbs: 1e-6 }));

  it('cheese tasting (McCullagh & Nelder): four additives, nine classes', () => {
    const counts = data.cheese_counts_A_B_C_D;
    const cells = counts.flatMap((row, cheese) => row.map((count, k) => ({ count, cheese, k })));
    const rows = {
      classes: ['1', '2', '3', '4', '5', '6', '7', '8', '9'],
      classIndex: Int32Array.from(cells, (c) => c.k),
      weights: Float64Array.from(cells, (c) => c.count),
      location: Object.fromEntries(
        ['A', 'B', 'C'].map((name, j) => [name, Float64Array.from(cells, (c) => (c.cheese === j ? 1 : 0))] as const),
      ),
    };
    compare(rows, expected.cheese, {});
    // Their log-likelihood carries the multinomial constants ln(N!/Π n!) of the four rows.
    const lnFactorial = (n: number): number => (n < 2 ? 0 : Math.log(n) + lnFactorial(n - 1));
    const constant = counts.reduce(
      (sum, row) => sum + lnFactorial(row.reduce((a, n) => a + n, 0)) - row.reduce((a, n) => a + lnFactorial(n), 0),
      0,
    );
    expectClose(fitCumulativeLink(rows, { link: 'logit' }).logLik + constant, expected.cheese.logLik_kernel, {
      abs: 1e-6,
      why: 'log-likelihood with the multinomial constant',
    });
  });
});

describe('ord-ucla-ologit', () => {
  const { data: table, expected } = loadCheck<
    { apply: string[]; pared: number[]; public: number[]; gpa: number[] },
    {
      logit_clm: ReferenceFit;
      probit_clm: ReferenceFit;
      published_in_statsmodels_tests: { logit: { coef: number[]; thresholds: number[]; prob_first_rows: number[][] } };
    }
  >('ord-ucla-ologit');
  const classes = ['unlikely', 'somewhat likely', 'very likely'];
  const data: CumulativeLinkData = {
    classes,
    classIndex: Int32Array.from(table.apply, (a) => classes.indexOf(a)),
    location: {
      pared: Float64Array.from(table.pared),
      public: Float64Array.from(table.public),
      gpa: Float64Array.from(table.gpa),
    },
  };

  it('has the exact maximum under both links', () => {
    expectFit(fitCumulativeLink(data, { link: 'logit' }), expected.logit_clm, { what: 'applications logit' });
    expectFit(fitCumulativeLink(data), expected.probit_clm, { what: 'applications probit' });
  });

  it('is near the digits in print, which are not the maximum', () => {
    const fit = fitCumulativeLink(data, { link: 'logit' });
    const print = expected.published_in_statsmodels_tests.logit;
    print.coef.forEach((b, l) => expectClose(fit.terms[2 + l].estimate, b, { abs: 1e-3, why: 'printed coefficient' }));
    print.thresholds.forEach((t, k) => expectClose(fit.thresholds[k], t, { abs: 1e-3, why: 'printed threshold' }));
    print.prob_first_rows.forEach((row, i) => {
      const p = cumulativeLinkProbabilities(fit, {
        location: { pared: table.pared[i], public: table.public[i], gpa: table.gpa[i] },
      });
      row.forEach((value, k) => expectClose(p[k], value, { abs: 1e-4, why: `printed probability, row ${i + 1}` }));
    });
  });

  it('has the profile intervals', () => {
    const fit = fitCumulativeLink(data, { link: 'logit' });
    for (const name of ['pared', 'gpa']) {
      const ends = profileInterval(
        (held) => fitCumulativeLink(holdLocation(data, name, held), { link: 'logit' }).logLik,
        { ...fit.terms.find((t) => t.term === name)!, logLik: fit.logLik },
      );
      ends.forEach((end, i) =>
        expectClose(end, expected.logit_clm.ci95_profile![name][i], { abs: 1e-3, why: `${name} profile end` }),
      );
    }
  });
});

import { describe, expect, it } from 'vitest';
import { fitCumulativeLink } from '../../../src/fit/cumulativeLink.js';
import { cumulativeLinkProbabilities } from '../../../src/fit/cumulativeLinkProbabilities.js';
import { rankedProbabilityScore } from '../../../src/kernel/rps.js';
import { expectClose } from '../../expectClose.js';
import {
  dummy,
  expectFit,
  holdLocation,
  loadCheck,
  profileInterval,
  wine,
  type ReferenceFit,
  type WineTable,
} from './cases.js';

/*
 * Data: J. H. Randall, "The analysis of sensory data by generalised linear model", Biometrical Journal 31 (1989) 781-793.
 * Values: R. H. B. Christensen, "Cumulative link models for ordinal regression with the R package ordinal" (vignette), and
 * runs of that package; each file says which.
 */

describe('ord-wine-clm-logit', () => {
  const { data: table, expected } = loadCheck<
    WineTable,
    ReferenceFit & {
      predicted_probs: { cells: { temp: string[]; contact: string[] }; prob: number[][] };
      null_logLik: number;
      LR_contact: { stat: number };
    }
  >('ord-wine-clm-logit');
  const { ratings, tempwarm, contactyes } = wine(table);
  const data = { ...ratings, location: { tempwarm, contactyes } };
  const fit = fitCumulativeLink(data, { link: 'logit' });

  it('has the published coefficients, standard errors, covariances and log-likelihood', () => {
    expect(fit.status).toBe('converged');
    expectFit(fit, expected, { what: 'wine logit' });
  });

  it('has the profile intervals', () => {
    for (const name of ['tempwarm', 'contactyes']) {
      const term = fit.terms.find((t) => t.term === name)!;
      const ends = profileInterval(
        (held) => fitCumulativeLink(holdLocation(data, name, held), { link: 'logit' }).logLik,
        { ...term, logLik: fit.logLik },
      );
      // The reference interpolates its profile by a spline.
      ends.forEach((end, i) =>
        expectClose(end, expected.ci95_profile![name][i], { abs: 1e-3, why: `95 % profile end of ${name}` }),
      );
    }
  });

  it('has the class probabilities of the four cells, and the likelihood ratio of contact', () => {
    const { cells, prob } = expected.predicted_probs;
    prob.forEach((row, c) => {
      const p = cumulativeLinkProbabilities(fit, {
        location: { tempwarm: cells.temp[c] === 'warm' ? 1 : 0, contactyes: cells.contact[c] === 'yes' ? 1 : 0 },
      });
      row.forEach((value, k) => expectClose(p[k], value, { abs: 1e-8, why: `cell ${c}, class ${k + 1}` }));
    });
    const without = fitCumulativeLink({ ...ratings, location: { tempwarm } }, { link: 'logit' });
    expectClose(2 * (fit.logLik - without.logLik), expected.LR_contact.stat, { abs: 1e-6, why: 'likelihood ratio' });
    expectClose(fitCumulativeLink(ratings, { link: 'logit' }).logLik, expected.null_logLik, {
      abs: 1e-6,
      why: 'thresholds only',
    });
  });
});

describe('ord-wine-clm-links', () => {
  it('has the probit fit and its profile intervals', () => {
    const { data: table, expected } = loadCheck<WineTable, { probit: ReferenceFit }>('ord-wine-clm-links');
    const { ratings, tempwarm, contactyes } = wine(table);
    const data = { ...ratings, location: { tempwarm, contactyes } };
    const fit = fitCumulativeLink(data);
    expectFit(fit, expected.probit, { what: 'wine probit' });
    const term = fit.terms.find((t) => t.term === 'tempwarm')!;
    const ends = profileInterval((held) => fitCumulativeLink(holdLocation(data, 'tempwarm', held)).logLik, {
      ...term,
      logLik: fit.logLik,
    });
    ends.forEach((end, i) =>
      expectClose(end, expected.probit.ci95_profile!.tempwarm[i], { abs: 1e-3, why: '95 % profile end of tempwarm' }),
    );
  });
});

describe('ord-wine-statsmodels: a second engine', () => {
  interface Engine {
    coef: number[];
    se_coef: number[];
    thresholds: number[];
    logLik: number;
  }
  const { data: table, expected } = loadCheck<WineTable, { logit: Engine; probit: Engine }>('ord-wine-statsmodels');
  const { ratings, tempwarm, contactyes } = wine(table);

  it.each(['logit', 'probit'] as const)('%s', (link) => {
    const fit = fitCumulativeLink({ ...ratings, location: { tempwarm, contactyes } }, { link });
    const theirs = expected[link];
    expectClose(fit.logLik, theirs.logLik, { abs: 1e-6, why: 'log-likelihood' });
    theirs.thresholds.forEach((t, k) => expectClose(fit.thresholds[k], t, { rel: 1e-5, why: `threshold ${k + 1}` }));
    theirs.coef.forEach((b, l) => {
      expectClose(fit.terms[4 + l].estimate, b, { rel: 1e-5, why: `coefficient ${l + 1}` });
      expectClose(fit.terms[4 + l].standardError, theirs.se_coef[l], { rel: 1e-4, why: `s.e. ${l + 1}` });
    });
  });
});

describe('other forms of the wine model', () => {
  it('ord-wine-clm-scale: a scale effect of temperature', () => {
    const { data: table, expected } = loadCheck<WineTable, ReferenceFit>('ord-wine-clm-scale');
    const { ratings, tempwarm, contactyes } = wine(table);
    const fit = fitCumulativeLink(
      { ...ratings, location: { tempwarm, contactyes }, scale: { tempwarm } },
      { link: 'logit' },
    );
    expectFit(fit, expected, { what: 'location and scale', names: { 'scale tempwarm': 'tempwarm.1' } });
  });

  it('ord-wine-clm-equidistant: thresholds at one distance', () => {
    const { data: table, expected } = loadCheck<WineTable, ReferenceFit & { Theta: number[] }>(
      'ord-wine-clm-equidistant',
    );
    const { ratings, tempwarm, contactyes } = wine(table);
    const fit = fitCumulativeLink(
      { ...ratings, location: { tempwarm, contactyes } },
      { link: 'logit', thresholds: 'equidistant' },
    );
    expectFit(fit, expected, { what: 'equidistant', names: { start: 'threshold.1' } });
    expected.Theta.forEach((t, k) => expectClose(fit.thresholds[k], t, { rel: 1e-5, why: `threshold ${k + 1}` }));
  });

  it('ord-wine-clm-fixed-observer: judges as fixed effects', () => {
    const { data: table, expected } = loadCheck<WineTable, ReferenceFit>('ord-wine-clm-fixed-observer');
    const { ratings, tempwarm, contactyes } = wine(table);
    const judges = Object.fromEntries(
      [2, 3, 4, 5, 6, 7, 8, 9].map((j) => [`judge${j}`, dummy(table.judge, j)] as const),
    );
    const fit = fitCumulativeLink({ ...ratings, location: { tempwarm, contactyes, ...judges } }, { link: 'logit' });
    expectFit(fit, expected, { what: 'fixed judges' });
  });

  it('ord-wine-clm-partial-proportional: contact moves each threshold by its own amount', () => {
    const { data: table, expected } = loadCheck<
      WineTable,
      ReferenceFit & { nominal_test: { table: { logLik: number[] } } }
    >('ord-wine-clm-partial-proportional');
    const { ratings, tempwarm, contactyes } = wine(table);
    const fit = fitCumulativeLink({ ...ratings, location: { tempwarm }, nominal: { contactyes } }, { link: 'logit' });
    const edges = ['1|2', '2|3', '3|4', '4|5'];
    expectFit(fit, expected, {
      what: 'partial proportional odds',
      names: Object.fromEntries(edges.map((edge) => [edge, `${edge}.(Intercept)`])),
    });
    const other = fitCumulativeLink({ ...ratings, location: { contactyes }, nominal: { tempwarm } }, { link: 'logit' });
    expectClose(other.logLik, expected.nominal_test.table.logLik[1], { abs: 1e-6, why: 'temp by threshold' });
    // A cell's probabilities from the nominal terms, against the thresholds moved by hand.
    const p = cumulativeLinkProbabilities(fit, { location: { tempwarm: 1 }, nominal: { contactyes: 1 } });
    const logit = expected.coef['1|2.(Intercept)'] + expected.coef['1|2.contactyes'] - expected.coef.tempwarm;
    expectClose(p[0], 1 / (1 + Math.exp(-logit)), { rel: 1e-5, why: 'first class, warm with contact' });
    expectClose(
      p.reduce((sum, v) => sum + v, 0),
      1,
      { abs: 1e-14, why: 'probabilities sum to 1' },
    );
  });
});

describe('ord-wine-loocv: each row left out', () => {
  it('has the held-out probabilities and their scores', () => {
    const { data: table, expected } = loadCheck<
      WineTable,
      { prob: number[][]; mean_neg_log_score: number; mean_rps_sum: number; modal_class_accuracy: number }
    >('ord-wine-loocv');
    const { ratings, tempwarm, contactyes } = wine(table);
    let log = 0;
    let rps = 0;
    let right = 0;
    table.rating.forEach((_, i) => {
      const weights = new Float64Array(72).fill(1);
      weights[i] = 0;
      const fit = fitCumulativeLink({ ...ratings, location: { tempwarm, contactyes }, weights }, { link: 'logit' });
      const p = cumulativeLinkProbabilities(fit, {
        location: { tempwarm: tempwarm[i], contactyes: contactyes[i] },
      });
      const seen = ratings.classIndex[i];
      expected.prob[i].forEach((value, k) =>
        expectClose(p[k], value, { abs: 1e-6, why: `row ${i + 1}, class ${k + 1}` }),
      );
      log -= Math.log(p[seen]) / 72;
      rps += rankedProbabilityScore(p, seen) / 72;
      if (p.indexOf(Math.max(...p)) === seen) right++;
    });
    expectClose(log, expected.mean_neg_log_score, { abs: 1e-6, why: 'mean log score' });
    expectClose(rps, expected.mean_rps_sum, { abs: 1e-6, why: 'mean ranked probability score' });
    expectClose(right / 72, expected.modal_class_accuracy, { abs: 1e-12, why: 'share of modal classes' });
  });
});

describe('ord-wine-separation', () => {
  const { data: table, expected } = loadCheck<
    { rating_comb3: string[]; temp: string[] },
    { exact_logLik_supremum_analytic: number; theta1_limit: number; theta2_minus_beta_limit: number }
  >('ord-wine-separation');
  const names = ['1', '2-4', '5'];
  const data = {
    classes: names,
    classIndex: Int32Array.from(table.rating_comb3, (r) => names.indexOf(r)),
    location: { tempwarm: dummy(table.temp, 'warm') },
  };

  it('is detected and said, and the log-likelihood is the supremum', () => {
    const fit = fitCumulativeLink(data, { link: 'logit' });
    expect(fit.status).toBe('separated');
    expect(fit.statusSentence).toMatch(/^Separated: the covariates part some classes without error/);
    expectClose(fit.logLik, expected.exact_logLik_supremum_analytic, { abs: 1e-6, why: 'supremum' });
    expectClose(fit.thresholds[0], expected.theta1_limit, { rel: 1e-5, why: 'the finite threshold' });
    expectClose(fit.thresholds[1] - fit.terms[2].estimate, expected.theta2_minus_beta_limit, {
      rel: 1e-5,
      why: 'difference of the two that run off',
    });
    for (const term of fit.terms) expect(term.standardError).toBeNaN();
  });

  it('is detected under the probit link too', () => {
    const fit = fitCumulativeLink(data);
    expect(fit.status).toBe('separated');
    expectClose(fit.logLik, expected.exact_logLik_supremum_analytic, { abs: 1e-6, why: 'the same supremum' });
  });
});

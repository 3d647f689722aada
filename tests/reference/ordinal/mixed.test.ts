import { describe, expect, it } from 'vitest';
import { fitCumulativeLink, type CumulativeLinkFit } from '../../../src/fit/cumulativeLink.js';
import { cumulativeLinkProbabilities } from '../../../src/fit/cumulativeLinkProbabilities.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { expectClose } from '../../expectClose.js';
import { dummy, expectFit, loadCheck, profileInterval, wine, type ReferenceFit, type WineTable } from './cases.js';

/** A reference fit with a random intercept. */
interface MixedFit extends ReferenceFit {
  readonly ranef: number[];
  readonly condVar: number[];
}

const sdTerm = (fit: CumulativeLinkFit): { estimate: number; standardError: number } =>
  fit.terms.find((t) => t.part === 'sd')!;

/** 95 % profile interval of the random intercept's standard deviation. */
function sdInterval(
  data: Parameters<typeof fitCumulativeLink>[0],
  fit: CumulativeLinkFit,
  nodes: number,
): [number, number] {
  return profileInterval((heldSd) => fitCumulativeLink(data, { link: 'logit', nodes, heldSd }).logLik, {
    ...sdTerm(fit),
    standardError: 0.5 * sdTerm(fit).standardError,
    logLik: fit.logLik,
  });
}

describe('ord-wine-clmm-judge: a random intercept a judge', () => {
  const { data: table, expected } = loadCheck<
    WineTable,
    {
      laplace_clmm: MixedFit & { sd_judge: number };
      agq10_clmm: MixedFit & { sd_judge: number };
      agq20_clmm: MixedFit & { sd_judge: number };
      agq10_clmm2: {
        location: Record<string, number>;
        Theta: Record<string, number>;
        stDev: number;
        logLik: number;
        ranef: number[];
        condVar: number[];
        fitted_first6: number[];
      };
      stDev_profile_ci95: [number, number];
      published: Record<
        'pred_average_judge' | 'pred_5th_pct_judge_cold_no' | 'OR_95th_vs_5th_judge' | 'LR_judge' | 'LR_contact',
        string
      >;
    }
  >('ord-wine-clmm-judge');
  const { ratings, tempwarm, contactyes, judge } = wine(table);
  const data = { ...ratings, location: { tempwarm, contactyes }, group: judge };

  it.each([
    ['agq10_clmm', 10],
    ['agq20_clmm', 20],
  ] as const)('%s', (key, nodes) => {
    const theirs = expected[key];
    const fit = fitCumulativeLink(data, { link: 'logit', nodes });
    expect(fit.status).toBe('converged');
    expectFit(fit, theirs, { what: key });
    expectClose(sdTerm(fit).estimate, theirs.sd_judge, { rel: 1e-5, why: 'standard deviation of judges' });
    theirs.ranef.forEach((u, g) => {
      expectClose(fit.randomIntercept!.modes[g], u, { abs: 1e-4, why: `mode of judge ${g + 1}` });
      expectClose(fit.randomIntercept!.variances[g], theirs.condVar[g], {
        abs: 1e-4,
        why: `variance of judge ${g + 1}`,
      });
    });
  });

  it('agq10_clmm2: the second implementation, nearer to the maximum', () => {
    const theirs = expected.agq10_clmm2;
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 10 });
    expectFit(fit, { coef: { ...theirs.Theta, ...theirs.location }, logLik: theirs.logLik }, { what: 'clmm2' });
    expectClose(sdTerm(fit).estimate, theirs.stDev, { rel: 1e-5, why: 'standard deviation of judges' });
    theirs.ranef.forEach((u, g) => {
      expectClose(fit.randomIntercept!.modes[g], u, { rel: 1e-4, why: `mode of judge ${g + 1}` });
      expectClose(fit.randomIntercept!.variances[g], theirs.condVar[g], {
        rel: 1e-4,
        why: `variance of judge ${g + 1}`,
      });
    });
    theirs.fitted_first6.forEach((value, i) => {
      const p = cumulativeLinkProbabilities(fit, {
        location: { tempwarm: tempwarm[i], contactyes: contactyes[i] },
        intercept: fit.randomIntercept!.modes[judge[i]],
      });
      expectClose(p[ratings.classIndex[i]], value, {
        abs: 5e-5,
        why: `fitted probability of row ${i + 1}; theirs are 2e-5 from what their own coefficients and modes give`,
      });
    });
  });

  it('laplace_clmm, to the tolerance of its file: its inner search leaves 3.5e-6 in log-likelihood', () => {
    const theirs = expected.laplace_clmm;
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 1 });
    expectFit(fit, theirs, { what: 'Laplace', logLikAbs: 1e-5, seRel: 1e-3 });
    expectClose(sdTerm(fit).estimate, theirs.sd_judge, { rel: 1e-5, why: 'standard deviation of judges' });
    theirs.ranef.forEach((u, g) =>
      expectClose(fit.randomIntercept!.modes[g], u, { abs: 1e-4, why: `mode of judge ${g + 1}` }),
    );
  });

  it('has the profile interval of the standard deviation', () => {
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 10 });
    sdInterval(data, fit, 10).forEach((end, i) =>
      expectClose(end, expected.stDev_profile_ci95[i], { abs: 5e-3, why: 'profile end; the reference interpolates' }),
    );
  });

  it('predicts for the average judge and for the 5th percentile', () => {
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 10 });
    const low = cumulativeLinkProbabilities(fit, { intercept: normalQuantile(0.05) * sdTerm(fit).estimate });
    expected.published.pred_5th_pct_judge_cold_no.split(' ').forEach((value, k) => {
      expectClose(low[k], Number(value), { abs: 2e-6, why: `cold, no contact, class ${k + 1}` });
    });
    // The average judge: the rating of each of the first five rows, the judge's own intercept set to 0.
    expected.published.pred_average_judge.split(' ').forEach((value, i) => {
      const p = cumulativeLinkProbabilities(fit, { location: { tempwarm: tempwarm[i], contactyes: contactyes[i] } });
      expectClose(p[ratings.classIndex[i]], Number(value), { abs: 2e-6, why: `row ${i + 1}, average judge` });
    });
    const spread = Math.exp(2 * normalQuantile(0.95) * sdTerm(fit).estimate);
    expectClose(spread, Number(expected.published.OR_95th_vs_5th_judge), { rel: 1e-4, why: 'odds ratio of judges' });
  });

  it('has the published likelihood ratios of the judges and of contact', () => {
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 10 });
    const noJudges = fitCumulativeLink({ ...ratings, location: data.location }, { link: 'logit' });
    expectClose(2 * (fit.logLik - noJudges.logLik), parseFloat(expected.published.LR_judge), {
      abs: 1e-5,
      why: 'judges',
    });
    const noContact = fitCumulativeLink({ ...data, location: { tempwarm } }, { link: 'logit', nodes: 10 });
    expectClose(2 * (fit.logLik - noContact.logLik), Number(expected.published.LR_contact), {
      abs: 1e-5,
      why: 'contact',
    });
  });
});

describe('ord-wine-clmm-extra', () => {
  const { data: table, expected } = loadCheck<
    WineTable,
    {
      crossed_laplace: ReferenceFit & { sd: { judge: number; bottle: number } };
      probit_agq10: MixedFit & { sd_judge: number };
    }
  >('ord-wine-clmm-extra');
  const { ratings, tempwarm, contactyes, judge } = wine(table);
  const data = { ...ratings, location: { tempwarm, contactyes }, group: judge };

  it('probit with 10 nodes', () => {
    const fit = fitCumulativeLink(data, { nodes: 10 });
    expectFit(fit, expected.probit_agq10, { what: 'probit' });
    expectClose(sdTerm(fit).estimate, expected.probit_agq10.sd_judge, {
      rel: 1e-5,
      why: 'standard deviation of judges',
    });
    expected.probit_agq10.ranef.forEach((u, g) => {
      expectClose(fit.randomIntercept!.modes[g], u, { abs: 1e-4, why: `mode of judge ${g + 1}` });
    });
  });

  it('judge and bottle crossed: with the bottles at zero, where the reference puts them, it is the judges alone', () => {
    expect(expected.crossed_laplace.sd.bottle).toBeLessThan(1e-5);
    const fit = fitCumulativeLink(data, { link: 'logit', nodes: 1 });
    expectFit(fit, expected.crossed_laplace, { what: 'crossed' });
    expectClose(sdTerm(fit).estimate, expected.crossed_laplace.sd.judge, { rel: 1e-5, why: 'sd of judges' });
  });

  it('a random intercept a bottle alone ends at zero, an ordinary answer', () => {
    const bottle = Int32Array.from(table.bottle, (b) => b - 1);
    const fit = fitCumulativeLink({ ...data, group: bottle }, { link: 'logit' });
    expect(fit.status).toBe('converged');
    expectClose(sdTerm(fit).estimate, 0, { abs: 1e-3, why: 'the variance is at its bound' });
    const without = fitCumulativeLink({ ...ratings, location: data.location }, { link: 'logit' });
    expectClose(fit.logLik, without.logLik, { abs: 1e-6, why: 'the fit without random intercept' });
  });
});

describe('ord-sim-levels-observers: level reports by eight observers', () => {
  const { data: table, expected } = loadCheck<
    { class: string[]; log10_flow: number[]; observer: number[] },
    {
      clm_logit: ReferenceFit & { ci95_profile_slope: [number, number] };
      clm_probit: ReferenceFit;
      fixed_observers: ReferenceFit;
      random_laplace: MixedFit & { sd_obs: number };
      random_agq10: MixedFit & { sd_obs: number };
      sd_obs_profile_ci95: [number, number];
      prob_at_flow: { flow: number[]; prob: number[][] };
      boundary_flow_clm: Record<string, number>;
    }
  >('ord-sim-levels-observers');
  const classes = ['too low', 'low', 'good', 'high'];
  const lq = Float64Array.from(table.log10_flow);
  const data = { classes, classIndex: Int32Array.from(table.class, (c) => classes.indexOf(c)), location: { lq } };
  const mixed = { ...data, group: Int32Array.from(table.observer, (o) => o - 1) };

  it('has the logit and probit fits, the odds at five flows and the edges in gauge units', () => {
    const fit = fitCumulativeLink(data, { link: 'logit' });
    expectFit(fit, expected.clm_logit, { what: 'levels logit' });
    expectFit(fitCumulativeLink(data), expected.clm_probit, { what: 'levels probit' });
    expected.prob_at_flow.flow.forEach((flow, i) => {
      const p = cumulativeLinkProbabilities(fit, { location: { lq: Math.log10(flow) } });
      expected.prob_at_flow.prob[i].forEach((value, k) =>
        expectClose(p[k], value, { abs: 1e-6, why: `odds of ${classes[k]} at ${flow}` }),
      );
    });
    Object.values(expected.boundary_flow_clm).forEach((edge, k) =>
      expectClose(10 ** (fit.thresholds[k] / fit.terms[3].estimate), edge, { rel: 1e-5, why: `edge ${k + 1}` }),
    );
    const ends = profileInterval(
      (held) => fitCumulativeLink({ ...data, location: {}, offset: lq.map((x) => held * x) }, { link: 'logit' }).logLik,
      { ...fit.terms[3], logLik: fit.logLik },
    );
    ends.forEach((end, i) =>
      expectClose(end, expected.clm_logit.ci95_profile_slope[i], { rel: 1e-3, why: 'profile end of the slope' }),
    );
  });

  it('has the observers as fixed effects', () => {
    const dummies = Object.fromEntries(
      [2, 3, 4, 5, 6, 7, 8].map((o) => [`obs${o}`, dummy(table.observer, o)] as const),
    );
    const fit = fitCumulativeLink({ ...data, location: { lq, ...dummies } }, { link: 'logit' });
    expectFit(fit, expected.fixed_observers, { what: 'fixed observers' });
  });

  // Laplace: the reference's inner search leaves 4e-6 in log-likelihood, within the 1e-4 of the file.
  it.each([
    ['random_laplace', 1, 1e-5],
    ['random_agq10', 10, 1e-6],
  ] as const)('%s', (key, nodes, logLikAbs) => {
    const theirs = expected[key];
    const fit = fitCumulativeLink(mixed, { link: 'logit', nodes });
    expectFit(fit, theirs, { what: key, logLikAbs });
    expectClose(sdTerm(fit).estimate, theirs.sd_obs, { rel: 1e-4, why: 'standard deviation of observers' });
    theirs.ranef.forEach((u, g) =>
      expectClose(fit.randomIntercept!.modes[g], u, { abs: 2e-4, why: `bias of observer ${g + 1}` }),
    );
  });

  it('has the profile interval of the observers’ standard deviation', () => {
    const fit = fitCumulativeLink(mixed, { link: 'logit', nodes: 10 });
    sdInterval(mixed, fit, 10).forEach((end, i) =>
      expectClose(end, expected.sd_obs_profile_ci95[i], { abs: 5e-3, why: 'profile end; the reference interpolates' }),
    );
  });
});

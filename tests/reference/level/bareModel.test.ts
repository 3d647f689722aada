import { describe, expect, it } from 'vitest';
import type { Aligned } from '../../../src/align/types.js';
import { fitCumulativeLink } from '../../../src/fit/cumulativeLink.js';
import { expectClose } from '../../expectClose.js';
import { plainAligned } from '../../fit/plainAligned.js';
import { loadCheck, type ReferenceFit, type WineTable } from '../ordinal/cases.js';
import { bareFit, type BareFit } from './bareFit.js';

/*
 * Without priors, mismatch and biases, and with one feature, the level model is the cumulative link model; with one visit for each group of
 * looks, its mismatch is the random intercept. The published and re-run values stand with their sources in tests/reference/ordinal/*.json.
 */

/** Log-likelihood to 1e-6, coefficients to 1e-5 relative, standard errors to 1e-4 relative, unless a group says why not. */
function expectReference(
  fit: BareFit,
  { coef, se, logLik }: { coef: readonly number[]; se?: readonly number[]; logLik: number },
  { logLikAbs = 1e-6, coefRel = 1e-5, seRel = 1e-4 }: { logLikAbs?: number; coefRel?: number; seRel?: number } = {},
): void {
  expectClose(fit.logLik, logLik, { abs: logLikAbs, why: 'log-likelihood' });
  expect(fit.coefficients.length).toBeGreaterThanOrEqual(coef.length);
  coef.forEach((c, r) => expectClose(fit.coefficients[r], c, { rel: coefRel, why: `coefficient ${r}` }));
  se?.forEach((e, r) => expectClose(fit.standardErrors[r], e, { rel: seRel, why: `standard error ${r}` }));
}

const valuesOf = (terms: Readonly<Record<string, number>>): number[] => Object.values(terms);

describe('ord-sim-levels-observers: level reports against log10 flow (R ordinal 2022.11-16)', () => {
  const { data, expected } = loadCheck<
    { class: string[]; log10_flow: number[]; observer: number[] },
    {
      clm_logit: Required<ReferenceFit>;
      clm_probit: Required<ReferenceFit>;
      fixed_observers: Required<ReferenceFit>;
      random_agq10: Required<ReferenceFit> & { sd_obs: number };
      boundary_flow_clm: Record<string, number>;
    }
  >('ord-sim-levels-observers');
  const classes = ['too low', 'low', 'good', 'high'];
  const saw = data.class.map((c) => classes.indexOf(c));
  const aligned = plainAligned(
    data.log10_flow.map((x, i) => ({ x, looks: [{ saw: saw[i], observer: data.observer[i] - 1 }] })),
    { features: [classes], observers: 8 },
  );

  it.each([
    ['logit', 1],
    ['probit', 0],
  ] as const)('%s: clm', (name, link) => {
    const { coef, se, logLik } = expected[`clm_${name}`];
    expectReference(bareFit(aligned, { link }), { coef: valuesOf(coef), se: valuesOf(se), logLik });
  });

  it('edges are the flows at which neighbouring classes are equally far away', () => {
    const { edges } = bareFit(aligned, { link: 1 });
    valuesOf(expected.boundary_flow_clm).forEach((flow, k) =>
      expectClose(10 ** edges[k], flow, { rel: 1e-6, why: `edge ${k}` }),
    );
  });

  it('biases without a prior are the observers’ dummies', () => {
    const { coef, se, logLik } = expected.fixed_observers;
    const fit = bareFit(aligned, { link: 1, bias: true });
    expect(fit.coefficients).toHaveLength(11);
    expectReference(fit, { coef: valuesOf(coef), se: valuesOf(se), logLik });
  });

  it('one visit an observer: the mismatch is the random intercept (clmm, 10 adaptive nodes)', () => {
    const visits = Array.from({ length: 8 }, (_, o) => ({
      x: 0,
      looks: saw.flatMap((s, i) => (data.observer[i] === o + 1 ? [{ saw: s, shift: data.log10_flow[i] }] : [])),
    }));
    const { coef, se, logLik, sd_obs } = expected.random_agq10;
    const fit = bareFit(plainAligned(visits, { features: [classes] }), { link: 1, mismatch: true });
    expectReference(fit, { coef: [...valuesOf(coef), sd_obs], se: valuesOf(se), logLik });
  });
});

describe('ord-mental-impairment: Agresti’s 40 residents, life events and status', () => {
  const { data, expected } = loadCheck<
    { mental: number[]; ses: number[]; life: number[] },
    Record<'logit' | 'probit', Required<ReferenceFit>>
  >('ord-mental-impairment');
  const classes = ['well', 'mild', 'moderate', 'impaired'];
  const aligned = plainAligned(
    data.life.map((x, i) => ({ x, looks: [{ saw: data.mental[i] - 1, observer: data.ses[i] }] })),
    { features: [classes], observers: 2 },
  );

  it.each([
    ['logit', 1],
    ['probit', 0],
  ] as const)('%s: status as the second observer’s bias', (name, link) => {
    const { coef, se, logLik } = expected[name];
    const order = ['1|2', '2|3', '3|4', 'life', 'ses'];
    expectReference(bareFit(aligned, { link, bias: true }), {
      coef: order.map((term) => coef[term]),
      se: order.map((term) => se[term]),
      logLik,
    });
  });

  it('ord-threshold-inversion: edges are the covariate values at which P(Y ≤ j) = 1/2', () => {
    const { expected: inversion } = loadCheck<unknown, { level95: Record<string, { x50: number; se_delta: number }> }>(
      'ord-threshold-inversion',
    );
    const { edges } = bareFit(aligned, { link: 1, bias: true });
    Object.values(inversion.level95).forEach(({ x50 }, k) =>
      expectClose(edges[k], x50, { rel: 1e-5, why: `edge ${k}` }),
    );
  });
});

describe('ord-ucla-ologit: 400 applications, grade point average', () => {
  const { data, expected } = loadCheck<
    { apply: string[]; pared: number[]; public: number[]; gpa: number[] },
    Record<'logit_clm' | 'probit_clm', Required<ReferenceFit>>
  >('ord-ucla-ologit');
  const classes = ['unlikely', 'somewhat likely', 'very likely'];
  const saw = data.apply.map((a) => classes.indexOf(a));

  it.each([
    ['logit_clm', 1],
    ['probit_clm', 0],
  ] as const)('%s: the other covariates, held at their estimates, shift x', (name, link) => {
    const { coef, logLik } = expected[name];
    const visits = data.gpa.map((x, i) => ({
      x,
      looks: [{ saw: saw[i], shift: (data.pared[i] * coef.pared + data.public[i] * coef.public) / coef.gpa }],
    }));
    // At the joint maximum the rest is at its maximum, too; its standard errors are those of fewer unknowns.
    expectReference(bareFit(plainAligned(visits, { features: [classes] }), { link }), {
      coef: [coef['unlikely|somewhat likely'], coef['somewhat likely|very likely'], coef.gpa],
      logLik,
    });
  });

  it.each(['probit', 'logit'] as const)(
    '%s: grade point average alone, against our own cumulative link fit',
    (link) => {
      const peer = fitCumulativeLink(
        { classes, classIndex: Int32Array.from(saw), location: { gpa: Float64Array.from(data.gpa) } },
        { link },
      );
      const fit = bareFit(
        plainAligned(
          data.gpa.map((x, i) => ({ x, looks: [{ saw: saw[i] }] })),
          { features: [classes] },
        ),
        { link: link === 'logit' ? 1 : 0 },
      );
      expectReference(
        fit,
        {
          coef: peer.terms.map((t) => t.estimate),
          se: peer.terms.map((t) => t.standardError),
          logLik: peer.logLik,
        },
        { logLikAbs: 1e-9, coefRel: 1e-6, seRel: 1e-6 },
      );
    },
  );
});

describe('ord-housing-polr: 1681 tenants, contact with neighbours', () => {
  it('the other covariates, held at their estimates, shift x; rows count as often as they were seen', () => {
    const { data, expected } = loadCheck<
      { Sat: string[]; Infl: string[]; Type: string[]; Cont: string[]; Freq: number[] },
      { logit: { coef: Record<string, number>; zeta: Record<string, number>; logLik: number } }
    >('ord-housing-polr');
    const { coef, zeta, logLik } = expected.logit;
    const classes = ['Low', 'Medium', 'High'];
    const visits = data.Sat.flatMap((sat, i) => {
      const others = (coef[`Infl${data.Infl[i]}`] ?? 0) + (coef[`Type${data.Type[i]}`] ?? 0);
      const visit = {
        x: data.Cont[i] === 'High' ? 1 : 0,
        looks: [{ saw: classes.indexOf(sat), shift: others / coef.ContHigh }],
      };
      return Array.from({ length: data.Freq[i] }, () => visit);
    });
    expect(visits).toHaveLength(1681);
    expectReference(bareFit(plainAligned(visits, { features: [classes] }), { link: 1 }), {
      coef: [...valuesOf(zeta), coef.ContHigh],
      logLik,
    });
  });
});

describe('ord-wine-clmm: nine judges, one visit each (Randall 1989; R ordinal)', () => {
  type Mixed = Required<ReferenceFit> & { sd_judge: number };
  const classes = ['1', '2', '3', '4', '5'];

  /** Visits are judges; warmth is x, contact held at its estimate shifts it. */
  function judges(table: WineTable, coef: Readonly<Record<string, number>>): Aligned {
    return plainAligned(
      Array.from({ length: 9 }, (_, judge) => ({
        x: 0,
        looks: table.rating.flatMap((rating, i) =>
          table.judge[i] === judge + 1
            ? [
                {
                  saw: rating - 1,
                  shift:
                    (table.temp[i] === 'warm' ? 1 : 0) +
                    (table.contact[i] === 'yes' ? coef.contactyes / coef.tempwarm : 0),
                },
              ]
            : [],
        ),
      })),
      { features: [classes] },
    );
  }

  const judge = loadCheck<WineTable, { agq10_clmm: Mixed; agq20_clmm: Mixed }>('ord-wine-clmm-judge');
  const extra = loadCheck<WineTable, { probit_agq10: Mixed }>('ord-wine-clmm-extra');
  it.each([
    ['logit, 20 adaptive nodes', judge.data, judge.expected.agq20_clmm, 1],
    ['logit, 10 adaptive nodes', judge.data, judge.expected.agq10_clmm, 1],
    ['probit, 10 adaptive nodes', extra.data, extra.expected.probit_agq10, 0],
  ] as const)('%s', (_, table, { coef, logLik, sd_judge }, link) => {
    const order = ['1|2', '2|3', '3|4', '4|5', 'tempwarm'];
    expectReference(bareFit(judges(table, coef), { link, mismatch: true }), {
      coef: [...order.map((term) => coef[term]), sd_judge],
      logLik,
    });
  });
});

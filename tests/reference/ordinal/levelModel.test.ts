import { describe, expect, it } from 'vitest';
import { createGridProblem } from '../../../src/fit/gridProblem.js';
import { fitLevels } from '../../../src/fit/fitLevels.js';
import { choleskyFactor, choleskyInverse } from '../../../src/kernel/cholesky.js';
import { cellDerivatives } from '../../../src/kernel/link.js';
import { normalQuantile } from '../../../src/kernel/normal.js';
import { rankedProbabilityScore } from '../../../src/kernel/rps.js';
import { expectClose } from '../../expectClose.js';
import { BARE, plainAligned } from '../../fit/plainAligned.js';
import {
  bareFit,
  classOdds,
  expectProfileEnds,
  expectReference,
  highest,
  type BareFit,
  type OrdinalTable,
} from './bareFit.js';
import { loadCheck, type Mental, type ReferenceFit, type WineTable } from './cases.js';

/*
 * Without priors, mismatch and biases, and with one feature, the level model is the cumulative link model; biases are the dummies of a factor,
 * and with one visit for each group of looks its mismatch is the random intercept (cumulative link mixed model). A third covariate is held at its
 * estimate, in each place in turn: at the joint maximum the rest is at its maximum, too. Published values and runs of R's `ordinal`, each with its source in the JSON beside this file; make.R makes them again.
 */
const LINKS = ['logit', 'probit'] as const;

/** Thresholds parting classes 1 … K. */
const edgesOf = (K: number) => Array.from({ length: K - 1 }, (_, k) => `${k + 1}|${k + 2}`);
const isOne = (values: readonly (string | number)[], one: string | number) => values.map((v) => (v === one ? 1 : 0));
/** Some of a reference's coefficients: errors of fewer unknowns are not the same. */
const only = ({ coef, logLik }: ReferenceFit, terms: readonly string[]): ReferenceFit => ({
  coef: Object.fromEntries(terms.map((term) => [term, coef[term]])),
  logLik,
});
const sum = (values: Iterable<number>) => [...values].reduce((total, v) => total + v, 0);
const repeated = (counts: readonly number[]) => counts.flatMap((n, k) => new Array<number>(n).fill(k));

/** Bitterness with warmth as x and contact as a factor of two. */
const wine = (t: WineTable) => ({
  classes: 5,
  saw: t.rating.map((r) => r - 1),
  x: isOne(t.temp, 'warm'),
  factor: isOne(t.contact, 'yes'),
});
const WINE = [...edgesOf(5), 'tempwarm', 'contactyes'];
/** The two covariates in each other's place. */
const turned = ({ x, factor, ...rest }: ReturnType<typeof wine>) => ({ ...rest, x: factor, factor: x });

describe('wine: bitterness by warmth and contact (Randall 1989)', () => {
  const { data, expected } = loadCheck<
    WineTable,
    ReferenceFit & {
      predicted_probs: { cells: { temp: string[]; contact: string[] }; prob: number[][] };
      null_logLik: number;
      LR_contact: { stat: number };
    }
  >('ord-wine-clm-logit');
  const table = wine(data);
  const fit = bareFit(table, { link: 'logit' });

  it('ord-wine-clm-logit: coefficients, standard errors, covariances and log-likelihood as published', () =>
    expectReference(fit, expected, WINE));

  it('ord-wine-clm-logit: profile intervals of both covariates', () => {
    [table, turned(table)].forEach((t, i) =>
      expectProfileEnds((slope) => bareFit(t, { link: 'logit', slope }).logLik, {
        logLik: fit.logLik,
        se: fit.se[4 + i],
        ends: expected.ci95_profile![WINE[4 + i]],
      }),
    );
  });

  it('ord-wine-clm-logit: odds of the four cells, likelihood ratio of contact, thresholds alone', () => {
    const { cells, prob } = expected.predicted_probs;
    prob.forEach((row, c) => {
      const rest = (cells.temp[c] === 'warm' ? fit.coef[4] : 0) + (cells.contact[c] === 'yes' ? fit.coef[5] : 0);
      classOdds(fit, 5, rest).forEach((p, k) => expectClose(p, row[k], { abs: 1e-7, why: `cell ${c}, class ${k}` }));
    });
    const ratio = 2 * (fit.logLik - bareFit({ ...table, factor: undefined }, { link: 'logit' }).logLik);
    expectClose(ratio, expected.LR_contact.stat, { abs: 1e-6, why: 'likelihood ratio of contact' });
    const none = bareFit({ classes: 5, saw: table.saw }, { link: 'logit' });
    expectClose(none.logLik, expected.null_logLik, { abs: 1e-6, why: 'thresholds only' });
  });

  it('ord-wine-clm-links: probit, with the profile interval of warmth', () => {
    const { probit } = loadCheck<WineTable, { probit: ReferenceFit }>('ord-wine-clm-links').expected;
    const own = bareFit(table, { link: 'probit' });
    expectReference(own, probit, WINE);
    expectProfileEnds((slope) => bareFit(table, { link: 'probit', slope }).logLik, {
      logLik: own.logLik,
      se: own.se[4],
      ends: probit.ci95_profile!.tempwarm,
    });
  });

  it.each(LINKS)('ord-wine-statsmodels: a second engine, %s', (link) => {
    type Engine = { coef: number[]; se_coef: number[]; thresholds: number[]; logLik: number };
    const theirs = loadCheck<WineTable, Record<'logit' | 'probit', Engine>>('ord-wine-statsmodels').expected[link];
    const own = bareFit(table, { link });
    expectClose(own.logLik, theirs.logLik, { abs: 1e-6, why: 'log-likelihood' });
    [...theirs.thresholds, ...theirs.coef].forEach((c, r) => expectClose(own.coef[r], c, { rel: 1e-5, why: WINE[r] }));
    theirs.se_coef.forEach((e, l) => expectClose(own.se[4 + l], e, { rel: 1e-4, why: `s.e. of ${WINE[4 + l]}` }));
  });

  it('ord-wine-clm-fixed-observer: judges as observers, either covariate beside them', () => {
    const { data: rows, expected: fixed } = loadCheck<WineTable, ReferenceFit>('ord-wine-clm-fixed-observer');
    const dummies = [2, 3, 4, 5, 6, 7, 8, 9].map((j) => `judge${j}`);
    for (const [t, mine, other] of [
      [table, 'tempwarm', 'contactyes'],
      [turned(table), 'contactyes', 'tempwarm'],
    ] as const) {
      const shift = t.factor.map((v) => (v * fixed.coef[other]) / fixed.coef[mine]);
      const judges = bareFit({ ...t, factor: rows.judge.map((j) => j - 1), shift }, { link: 'logit' });
      expectReference(judges, only(fixed, [...edgesOf(5), mine, ...dummies]), [...edgesOf(5), mine, ...dummies]);
    }
  });

  it('ord-wine-loocv: odds of each row left out, and their scores', () => {
    const { prob, ...scores } = loadCheck<
      WineTable,
      { prob: number[][]; mean_neg_log_score: number; mean_rps_sum: number; modal_class_accuracy: number }
    >('ord-wine-loocv').expected;
    const odds = table.saw.map((_, i) => {
      const rest = Object.entries(table).map(([key, v]) => [key, Array.isArray(v) ? v.toSpliced(i, 1) : v] as const);
      const left = bareFit(Object.fromEntries(rest) as unknown as OrdinalTable, { link: 'logit' });
      return classOdds(left, 5, table.x[i] * left.coef[4] + table.factor[i] * left.coef[5]);
    });
    prob.forEach((row, i) => row.forEach((p, k) => expectClose(odds[i][k], p, { abs: 1e-6, why: `${i}, ${k}` })));
    const mean = (of: (p: number[], seen: number) => number) => sum(odds.map((p, i) => of(p, table.saw[i]))) / 72;
    expectClose(
      mean((p, seen) => -Math.log(p[seen])),
      scores.mean_neg_log_score,
      { abs: 1e-6, why: 'log score' },
    );
    expectClose(mean(rankedProbabilityScore), scores.mean_rps_sum, { abs: 1e-6, why: 'ranked probability score' });
    const right = mean((p, seen) => (p.indexOf(Math.max(...p)) === seen ? 1 : 0));
    expectClose(right, scores.modal_class_accuracy, { abs: 1e-12, why: 'share of modal classes' });
  });
});

describe('ord-wine-separation: one class seen only with the other covariate', () => {
  const { data, expected } = loadCheck<
    { rating_comb3: string[]; temp: string[] },
    { exact_logLik_supremum_analytic: number; theta1_limit: number; theta2_minus_beta_limit: number }
  >('ord-wine-separation');
  const names = ['1', '2-4', '5'];
  const x = isOne(data.temp, 'warm');
  const aligned = plainAligned(
    data.rating_comb3.map((r, i) => ({ x: x[i], looks: [{ saw: names.indexOf(r) }] })),
    { features: [names] },
  );

  it.each(LINKS)('%s: the likelihood rises to its supremum and never reaches a top; weak priors give one', (link) => {
    const problem = createGridProblem(aligned, { ...BARE, link: link === 'logit' ? 1 : 0 });
    const quantile = (p: number) => (link === 'logit' ? Math.log(p / (1 - p)) : normalQuantile(p));
    // Cold: P(1) = 5/36 and nobody in class 5; warm: P(5) = 7/36 and nobody in class 1: worked out from the counts.
    const [low, high] = [quantile(5 / 36), quantile(29 / 36)];
    if (link === 'logit') {
      expectClose(low, expected.theta1_limit, { rel: 1e-9, why: 'the finite threshold' });
      expectClose(high, expected.theta2_minus_beta_limit, { rel: 1e-9, why: 'difference of the two that run off' });
    }
    const values = [4, 5, 6, 40].map((slope) => {
      const [first, second] = [low / slope, 1 + high / slope];
      return problem.setNodes(Float64Array.of(first, Math.log(second - first), -Math.log(slope), 0, 0, 0), 0);
    });
    values.slice(1).forEach((v, i) => expect(v).toBeGreaterThan(values[i] - 1e-12));
    expectClose(values[3], expected.exact_logLik_supremum_analytic, { abs: 1e-6, why: 'supremum' });
    const fit = fitLevels(aligned, { link, seed: 1 }).effective;
    expect(fit.status).toBe('converged');
    for (const edge of fit.features[0].edges) expect(Number.isFinite(edge)).toBe(true);
  });
});

describe('wine: a random intercept a judge, as one visit a judge (published tutorial of clmm2)', () => {
  type Mixed = ReferenceFit & { sd_judge: number };
  const { data, expected } = loadCheck<
    WineTable,
    {
      agq10_clmm: Mixed;
      agq20_clmm: Mixed;
      agq10_clmm2: { location: Record<string, number>; Theta: Record<string, number>; stDev: number; logLik: number };
      stDev_profile_ci95: [number, number];
      published: Record<string, string>;
    }
  >('ord-wine-clmm-judge');
  const table = { ...wine(data), group: data.judge.map((j) => j - 1) };
  const fit = bareFit(table, { link: 'logit' });
  const sd = fit.coef[6];
  const mixed = (own: BareFit, theirs: Mixed) => {
    expectReference(own, { ...theirs, coef: { ...theirs.coef, sd: theirs.sd_judge }, se: undefined }, [...WINE, 'sd']);
    WINE.forEach((term, r) => expectClose(own.se[r], theirs.se![term], { rel: 1e-4, why: `s.e. of ${term}` }));
  };

  it('ord-wine-clmm-judge: 10 and 20 adaptive nodes, and the second implementation', () => {
    mixed(fit, expected.agq10_clmm);
    mixed(fit, expected.agq20_clmm);
    const { location, Theta, stDev, logLik } = expected.agq10_clmm2;
    mixed(fit, { coef: { ...Theta, ...location }, sd_judge: stDev, logLik, se: expected.agq20_clmm.se });
  });

  it('ord-wine-clmm-extra: probit', () =>
    mixed(
      bareFit(table, { link: 'probit' }),
      loadCheck<WineTable, { probit_agq10: Mixed }>('ord-wine-clmm-extra').expected.probit_agq10,
    ));

  it('ord-wine-clmm-judge: profile interval of the sd; the reference interpolates', () =>
    expectProfileEnds(
      (held) => highest((slope) => bareFit(table, { link: 'logit', slope, sd: held }).logLik, [1.5, 5]),
      { logLik: fit.logLik, se: fit.se[6], ends: expected.stDev_profile_ci95, abs: 5e-3 },
    ));

  it('ord-wine-clmm-judge: odds of the average judge and of the 5th percentile, odds ratio, likelihood ratios', () => {
    const { published } = expected;
    const low = classOdds(fit, 5, normalQuantile(0.05) * sd);
    published.pred_5th_pct_judge_cold_no
      .split(' ')
      .forEach((p, k) => expectClose(low[k], Number(p), { abs: 2e-6, why: `5th percentile, class ${k + 1}` }));
    published.pred_average_judge.split(' ').forEach((p, i) => {
      const odds = classOdds(fit, 5, table.x[i] * fit.coef[4] + table.factor[i] * fit.coef[5]);
      expectClose(odds[table.saw[i]], Number(p), { abs: 2e-6, why: `average judge, row ${i + 1}` });
    });
    const spread = Math.exp(2 * normalQuantile(0.95) * sd);
    expectClose(spread, Number(published.OR_95th_vs_5th_judge), { rel: 1e-4, why: 'odds ratio of judges' });
    const ratio = (t: OrdinalTable) => 2 * (fit.logLik - bareFit(t, { link: 'logit' }).logLik);
    expectClose(ratio({ ...table, group: undefined }), parseFloat(published.LR_judge), { abs: 1e-5, why: 'judges' });
    expectClose(ratio({ ...table, factor: undefined }), Number(published.LR_contact), { abs: 1e-5, why: 'contact' });
  });

  it('a random intercept a bottle has its top at zero, where R puts it: the likelihood only falls from there', () => {
    const bottles = { ...table, group: data.bottle.map((b) => b - 1) };
    const top = bareFit({ ...table, group: undefined }, { link: 'logit' }).logLik;
    const fallen = [0.01, 0.2, 0.4].map(
      (held) => top - bareFit(bottles, { link: 'logit', slope: fit.coef[4], sd: held }).logLik,
    );
    const free = highest((slope) => bareFit(bottles, { link: 'logit', slope, sd: 1e-4 }).logLik, [2, 3]);
    expectClose(free, top, { abs: 1e-5, why: 'the fit without random intercept' });
    fallen.slice(1).forEach((f, i) => expect(f).toBeGreaterThan(fallen[i]));
  });
});

describe('ord-sim-levels-observers: level reports against log10 flow, eight observers', () => {
  type Fit = Required<ReferenceFit>;
  const { data, expected } = loadCheck<
    { class: string[]; log10_flow: number[]; observer: number[] },
    Record<'clm_logit' | 'clm_probit' | 'fixed_observers', Fit> & {
      clm_logit: { ci95_profile_slope: number[] };
      random_agq10: Fit & { sd_obs: number };
      sd_obs_profile_ci95: [number, number];
      prob_at_flow: { flow: number[]; prob: number[][] };
      boundary_flow_clm: Record<string, number>;
    }
  >('ord-sim-levels-observers');
  const classes = ['too low', 'low', 'good', 'high'];
  const terms = ['too low|low', 'low|good', 'good|high', 'lq'];
  const table = { classes: 4, saw: data.class.map((c) => classes.indexOf(c)), x: data.log10_flow };
  const observers = data.observer.map((o) => o - 1);

  it.each(LINKS)('%s', (link) => expectReference(bareFit(table, { link }), expected[`clm_${link}`], terms));

  it('profile interval of the slope, odds at five flows, edges in gauge units', () => {
    const fit = bareFit(table, { link: 'logit' });
    expectProfileEnds((slope) => bareFit(table, { link: 'logit', slope }).logLik, {
      logLik: fit.logLik,
      se: fit.se[3],
      ends: expected.clm_logit.ci95_profile_slope,
      abs: 5e-3,
    });
    expected.prob_at_flow.flow.forEach((flow, i) =>
      classOdds(fit, 4, Math.log10(flow) * fit.coef[3]).forEach((p, k) =>
        expectClose(p, expected.prob_at_flow.prob[i][k], { abs: 1e-6, why: `${classes[k]} at ${flow}` }),
      ),
    );
    Object.values(expected.boundary_flow_clm).forEach((flow, k) =>
      expectClose(10 ** fit.edges[k], flow, { rel: 1e-6, why: `edge ${k}` }),
    );
  });

  it('biases without a prior are the observers’ dummies', () =>
    expectReference(bareFit({ ...table, factor: observers }, { link: 'logit' }), expected.fixed_observers, [
      ...terms,
      ...[2, 3, 4, 5, 6, 7, 8].map((o) => `obs${o}`),
    ]));

  it('one visit an observer: the mismatch is the random intercept (10 adaptive nodes), with its profile interval', () => {
    const mixed = { ...table, group: observers };
    const fit = bareFit(mixed, { link: 'logit' });
    const { coef, se, logLik, sd_obs } = expected.random_agq10;
    expectReference(fit, { coef: { ...coef, sd: sd_obs }, logLik }, [...terms, 'sd']);
    terms.forEach((term, r) => expectClose(fit.se[r], se[term], { rel: 1e-4, why: `s.e. of ${term}` }));
    expectProfileEnds((held) => highest((slope) => bareFit(mixed, { link: 'logit', slope, sd: held }).logLik, [4, 9]), {
      logLik: fit.logLik,
      se: fit.se[4],
      ends: expected.sd_obs_profile_ci95,
      abs: 5e-3,
    });
  });
});

/** Life events as x, status as a factor of two. */
const mentalTable = ({ mental, ses, life }: Mental) => ({
  classes: 4,
  saw: mental.map((m) => m - 1),
  x: life,
  factor: ses,
});

describe('mental impairment: 40 residents by life events and status (Agresti)', () => {
  const { data, expected } = loadCheck<Mental, Record<'logit' | 'probit' | 'interaction', ReferenceFit>>(
    'ord-mental-impairment',
  );
  const table = mentalTable(data);
  const terms = [...edgesOf(4), 'life', 'ses'];

  it.each(LINKS)('ord-mental-impairment: %s, with both profile intervals', (link) => {
    const fit = bareFit(table, { link });
    expectReference(fit, expected[link], terms);
    const { life, ses } = expected[link].ci95_profile!;
    const common = { logLik: fit.logLik };
    expectProfileEnds((slope) => bareFit(table, { link, slope }).logLik, { ...common, se: fit.se[3], ends: life });
    // Status lowers the scale and slopes are positive: 1 - status is x here, so its upper end lies beyond zero.
    const x = data.ses.map((v) => 1 - v);
    const other = (slope: number, b: number) =>
      bareFit({ classes: 4, saw: table.saw, x, shift: data.life.map((l) => (l * b) / slope) }, { link, slope }).logLik;
    expectProfileEnds((slope) => highest((b) => other(slope, b), [0, 0.8]), {
      ...common,
      se: fit.se[4],
      ends: [-ses[0]],
    });
  });

  it('ord-mental-impairment: the interaction, life events and their product in each other’s place', () => {
    const product = data.ses.map((s, i) => s * data.life[i]);
    const theirs = expected.interaction;
    for (const [mine, x, other, rest] of [
      ['life', data.life, 'ses:life', product],
      ['ses:life', product.map((v) => v * Math.sign(theirs.coef['ses:life'])), 'life', data.life],
    ] as const) {
      const shift = rest.map((v) => (v * theirs.coef[other]) / Math.abs(theirs.coef[mine]));
      const fit = bareFit({ ...table, x, shift }, { link: 'logit' });
      const coef = { ...theirs.coef, [mine]: Math.abs(theirs.coef[mine]) };
      expectReference(fit, only({ ...theirs, coef }, [...edgesOf(4), mine, 'ses']), [...edgesOf(4), mine, 'ses']);
    }
  });

  it('ord-threshold-inversion: edges in units of x, their delta-method errors and Fieller intervals', () => {
    type Edge = { x50: number; se_delta: number; delta_ci: number[]; fieller_A: number; fieller_ci: number[] };
    const { expected: inversion } = loadCheck<Mental, Record<string, Record<string, Edge>>>('ord-threshold-inversion');
    const { coef, covariance, edges } = bareFit(table, { link: 'logit' });
    const [b, vb] = [coef[3], covariance[3][3]];
    for (const [level, key] of [
      [0.95, 'level95'],
      [0.8, 'level80'],
    ] as const)
      edgesOf(4).forEach((edge, k) => {
        const z = normalQuantile(0.5 + level / 2);
        const theirs = inversion[key][edge];
        const [t, vt, ctb] = [coef[k], covariance[k][k], covariance[k][3]];
        const x = edges[k];
        const se = Math.sqrt(vt - 2 * x * ctb + x * x * vb) / b;
        expectClose(x, theirs.x50, { rel: 1e-5, why: `${edge}: edge` });
        expectClose(se, theirs.se_delta, { rel: 1e-4, why: `${edge}: delta method` });
        expectClose(x - z * se, theirs.delta_ci[0], { rel: 1e-4, abs: 1e-4, why: `${edge}: lower end` });
        // Fieller: the x with (θ - xβ)² ≤ z²·var(θ - xβ), a quadratic A·x² - 2B·x + C ≤ 0.
        const [A, B, C] = [b * b - z * z * vb, t * b - z * z * ctb, t * t - z * z * vt];
        const root = Math.sqrt(B * B - A * C);
        expectClose(A, theirs.fieller_A, { rel: 1e-4, why: `${edge}: A` });
        expectClose((B - root) / A, theirs.fieller_ci[0], { rel: 1e-4, abs: 1e-4, why: `${edge}: Fieller lower` });
        expectClose((B + root) / A, theirs.fieller_ci[1], { rel: 1e-4, abs: 1e-4, why: `${edge}: Fieller upper` });
      });
  });
});

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

  /** Every class of every row, weighed by its probability; columns in the order of the coefficients behind the thresholds. */
  function errorsOf({ coef }: BareFit, columns: readonly (readonly number[])[]): number[] {
    const P = coef.length;
    const T = P - columns.length;
    const information = new Float64Array(P * P);
    const cell = new Float64Array(6);
    columns[0].forEach((_, i) => {
      const centre = sum(columns.map((column, l) => column[i] * coef[T + l]));
      for (let k = 0; k <= T; k++) {
        const [a, b] = [k === 0 ? -Infinity : coef[k - 1] - centre, k === T ? Infinity : coef[k] - centre];
        cellDerivatives(cell, 0, a, b, 1);
        const slope = new Float64Array(P);
        if (k > 0) slope[k - 1] = cell[1];
        if (k < T) slope[k] = cell[2];
        columns.forEach((column, l) => (slope[T + l] = -column[i] * (cell[1] + cell[2])));
        const w = Math.exp(cell[0]);
        for (let q = 0; q < P; q++) for (let r = 0; r < P; r++) information[q * P + r] += w * slope[q] * slope[r];
      }
    });
    expect(choleskyFactor(information, P)).toBe('ok');
    const inverse = new Float64Array(P * P);
    choleskyInverse(information, P, inverse);
    return coef.map((_, q) => Math.sqrt(inverse[q * P + q]));
  }

  /** `order`: where each of their terms stands among ours; their convention is logit P(Y ≤ k) = α_k + xᵀb. */
  function compare(fit: BareFit, columns: readonly (readonly number[])[], theirs: Scoring, order: readonly number[]) {
    const errors = errorsOf(fit, columns);
    const names = Object.keys(theirs.coef_alpha_plus_xb);
    expect(names).toHaveLength(fit.coef.length);
    names.forEach((name, q) => {
      const at = order[q];
      const sign = at < fit.coef.length - columns.length ? 1 : -1;
      expectClose(sign * fit.coef[at], theirs.coef_alpha_plus_xb[name], { rel: 1e-5, abs: 1e-6, why: name });
      expectClose(errors[at], theirs.se_expected_information[name], { rel: 1e-4, why: `s.e. of ${name}` });
    });
  }

  it('mental impairment', () => {
    const { ses, life } = data.mental;
    const fit = bareFit(mentalTable(data.mental), { link: 'logit' });
    compare(fit, [life, ses], expected.mental, [0, 1, 2, 4, 3]);
    expectClose(fit.logLik, expected.mental.logLik_kernel, { abs: 1e-6, why: 'log-likelihood' });
  });

  it('cheese tasting (McCullagh & Nelder): four additives as observers, nine classes', () => {
    const counts = data.cheese_counts_A_B_C_D;
    // The last additive is the baseline: it comes first here.
    const rows = [3, 0, 1, 2].flatMap((cheese, factor) => repeated(counts[cheese]).map((saw) => ({ saw, factor })));
    const factor = rows.map((r) => r.factor);
    const fit = bareFit({ classes: 9, saw: rows.map((r) => r.saw), factor }, { link: 'logit' });
    const columns = [1, 2, 3].map((o) => isOne(factor, o));
    compare(fit, columns, expected.cheese, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
    // Their log-likelihood carries the multinomial constants ln(N!/Π n!) of the four rows.
    const lnFactorial = (n: number): number => (n < 2 ? 0 : Math.log(n) + lnFactorial(n - 1));
    const constant = sum(counts.map((row) => lnFactorial(sum(row)) - sum(row.map(lnFactorial))));
    expectClose(fit.logLik + constant, expected.cheese.logLik_kernel, { abs: 1e-6, why: 'log-likelihood' });
  });
});

describe('other tables', () => {
  it('ord-null-closed-form: thresholds only are the link’s quantiles of the cumulative shares', () => {
    const { data, expected } = loadCheck<
      { counts: number[] },
      { theta_logit: number[]; theta_probit: number[]; logLik: number; se_logit: number[] }
    >('ord-null-closed-form');
    const [logit, probit] = LINKS.map((link) => bareFit({ classes: 5, saw: repeated(data.counts) }, { link }));
    for (const { logLik } of [logit, probit]) expectClose(logLik, expected.logLik, { abs: 1e-8, why: 'Σ n ln(n/N)' });
    expected.theta_logit.forEach((t, k) => {
      expectClose(logit.coef[k], t, { abs: 1e-7, why: 'logit of the cumulative share' });
      expectClose(probit.coef[k], expected.theta_probit[k], { abs: 1e-7, why: 'Φ⁻¹ of the cumulative share' });
      expectClose(logit.se[k], expected.se_logit[k], { abs: 1e-6, why: 'binomial delta method' });
    });
  });

  it.each(LINKS)('ord-ucla-ologit: 400 applications, three covariates, %s', (link) => {
    const { data, expected } = loadCheck<
      { apply: string[]; pared: number[]; public: number[]; gpa: number[] },
      Record<'logit_clm' | 'probit_clm', ReferenceFit> & {
        published_in_statsmodels_tests: {
          logit: { coef: number[]; thresholds: number[]; prob_first_rows: number[][] };
        };
      }
    >('ord-ucla-ologit');
    const names = ['unlikely', 'somewhat likely', 'very likely'];
    const saw = data.apply.map((a) => names.indexOf(a));
    const reference = expected[`${link}_clm`];
    const edges = [`${names[0]}|${names[1]}`, `${names[1]}|${names[2]}`];
    const columns = { gpa: data.gpa, pared: data.pared, public: data.public };
    const rows = (x: keyof typeof columns, factor: keyof typeof columns, third: keyof typeof columns, by: number) =>
      ({ classes: 3, saw, x: columns[x], factor: columns[factor], shift: columns[third].map((v) => v * by) }) as const;
    const { coef } = reference;
    const fit = bareFit(rows('gpa', 'pared', 'public', coef.public / coef.gpa), { link });
    expectReference(fit, only(reference, [...edges, 'gpa', 'pared']), [...edges, 'gpa', 'pared']);
    const swapped = bareFit(rows('pared', 'public', 'gpa', coef.gpa / coef.pared), { link });
    expectReference(swapped, only(reference, [...edges, 'pared', 'public']), [...edges, 'pared', 'public']);
    if (link === 'probit') return;
    const profile = (x: 'gpa' | 'pared', factor: 'pared' | 'public', third: 'public' | 'gpa', se: number) =>
      expectProfileEnds(
        (slope) => highest((b) => bareFit(rows(x, factor, third, b / slope), { link, slope }).logLik, [-1, 2]),
        { logLik: fit.logLik, se, ends: reference.ci95_profile![x] },
      );
    profile('gpa', 'pared', 'public', reference.se!.gpa);
    profile('pared', 'public', 'gpa', reference.se!.pared);
    // The digits in print are not the maximum.
    const print = expected.published_in_statsmodels_tests.logit;
    const [pared, open, gpa] = print.coef;
    [...print.thresholds, gpa, pared].forEach((v, r) => expectClose(fit.coef[r], v, { abs: 1e-3, why: 'print' }));
    expectClose(swapped.coef[3], open, { abs: 1e-3, why: 'print' });
    print.prob_first_rows.forEach((row, i) => {
      const rest = data.gpa[i] * fit.coef[2] + data.pared[i] * fit.coef[3] + data.public[i] * swapped.coef[3];
      classOdds(fit, 3, rest).forEach((p, k) => expectClose(p, row[k], { abs: 1e-4, why: `print, row ${i + 1}` }));
    });
  });

  it.each(LINKS)('ord-housing-polr: 1681 tenants by contact and type, influence held at its estimates, %s', (link) => {
    type Polr = { coef: Record<string, number>; zeta: Record<string, number>; deviance: number };
    const { data, expected } = loadCheck<
      {
        Sat: string[];
        Infl: string[];
        Type: string[];
        Cont: string[];
        Freq: number[];
        levels: Record<string, string[]>;
      },
      Record<'logit' | 'probit', Polr>
    >('ord-housing-polr');
    const { coef, zeta, deviance } = expected[link];
    const rows = repeated(data.Freq);
    expect(rows).toHaveLength(1681);
    const fit = bareFit(
      {
        classes: 3,
        saw: rows.map((i) => data.levels.Sat.indexOf(data.Sat[i])),
        x: rows.map((i) => (data.Cont[i] === 'High' ? 1 : 0)),
        factor: rows.map((i) => data.levels.Type.indexOf(data.Type[i])),
        shift: rows.map((i) => (coef[`Infl${data.Infl[i]}`] ?? 0) / coef.ContHigh),
      },
      { link },
    );
    const types = data.levels.Type.slice(1).map((type) => `Type${type}`);
    const asked = [...Object.keys(zeta), 'ContHigh', ...types];
    expectReference(fit, only({ coef: { ...zeta, ...coef }, logLik: -deviance / 2 }, asked), asked);
  });
});

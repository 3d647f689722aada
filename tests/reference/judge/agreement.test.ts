import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { krippendorffAlpha, type MeasurementLevel } from '../../../src/judge/krippendorff.js';
import { weightedKappa } from '../../../src/judge/weightedKappa.js';
import { expectClose } from '../../expectClose.js';

const load = <Data, Expected>(id: string) =>
  JSON.parse(readFileSync(new URL(`${id}.json`, import.meta.url), 'utf8')) as { data: Data; expected: Expected };

/** K. Krippendorff, "Computing Krippendorff's alpha-reliability" (2011), asc_papers/43; and irr 0.84.1. */
describe('α of four observers and twelve units', () => {
  type One = { alpha: number; observed_disagreement: number; expected_disagreement: number };
  const { data, expected } = load<
    { rows_are_observers: (number | null)[][] },
    Record<MeasurementLevel, One> & { coincidence_matrix: number[][]; n_pairable: number; value_counts: number[] }
  >('kripp-computing-4x12');
  const rows = data.rows_are_observers;
  const units = rows[0].map((_, u) => rows.map((row) => row[u] ?? NaN));

  it.each([
    ['nominal', 0.743],
    ['ordinal', 0.815],
    ['interval', 0.849],
    ['ratio', 0.797],
  ] as const)('%s', (level, printed) => {
    const found = krippendorffAlpha(units, { level });
    expectClose(found.alpha!, printed, { abs: 5e-4, why: 'printed value' });
    expectClose(found.alpha!, expected[level].alpha, { abs: 1e-10, why: 'irr' });
    expectClose(1 - found.observedDisagreement / found.expectedDisagreement, expected[level].alpha, {
      abs: 1e-10,
      why: 'ratio of the disagreements',
    });
    expectClose(found.observedDisagreement, expected[level].observed_disagreement, { rel: 1e-10, why: 'observed' });
    expectClose(found.expectedDisagreement, expected[level].expected_disagreement, { rel: 1e-10, why: 'expected' });
  });

  it('coincidences', () => {
    const { coincidences, pairable, units: kept, values } = krippendorffAlpha(units, { level: 'nominal' });
    expect([pairable, kept, values]).toEqual([expected.n_pairable, 11, [1, 2, 3, 4, 5]]);
    expected.coincidence_matrix.flat().forEach((o, at) => {
      expectClose(coincidences[at], o, { abs: 1e-12, why: `cell ${at}` });
    });
    expected.value_counts.forEach((count, v) => {
      expectClose(
        coincidences.subarray(v * 5, v * 5 + 5).reduce((a, b) => a + b),
        count,
        { abs: 1e-12, why: 'row' },
      );
    });
  });
});

/** Table 6 of Krippendorff's quadrilogy draft (2020), as printed in jucor/krippendorff (MIT). */
it('α from counts, unequal numbers of observers', () => {
  const { data, expected } = load<
    { counts_by_unit: Record<'0' | '1', number[]> },
    { all_units: number; units_1235: number; units_235: number; units_23: number }
  >('kripp-binary-aggregated');
  const { 0: zeros, 1: ones } = data.counts_by_unit;
  const unit = (u: number) => [...new Array<number>(zeros[u - 1]).fill(0), ...new Array<number>(ones[u - 1]).fill(1)];
  const alpha = (...of: number[]) => krippendorffAlpha(of.map(unit), { level: 'nominal', resamples: 1 }).alpha!;
  expectClose(alpha(1, 2, 3, 4, 5), expected.all_units, { abs: 1e-9, why: 'all' });
  expectClose(alpha(1, 2, 3, 5), expected.units_1235, { abs: 1e-9, why: '1, 2, 3, 5' });
  expectClose(alpha(2, 3, 5), expected.units_235, { abs: 1e-9, why: '2, 3, 5' });
  expectClose(alpha(2, 3), expected.units_23, { abs: 1e-12, why: '2, 3' });
});

/** J. Cohen, "Weighted kappa", Psychological Bulletin 70 (1968) 213-220, table 1: .492, .348 and .353; and psych 2.2.9. */
it('κ of 200 pairs and three classes', () => {
  const { data, expected } = load<
    { proportions: number[][]; n: number; disagreement_weights: number[][]; alt_weights_asymmetric: number[][] },
    Record<
      'kappa' | 'weighted_kappa' | 'weighted_kappa_asymmetric' | 'quadratic' | 'linear' | 'psych_var_kappa',
      number
    >
  >('kappa-cohen1968');
  const agreement = (v: number[][]) => v.map((row) => row.map((cell) => 1 - cell / Math.max(...v.flat())));
  const { proportions, n } = data;
  const of = (weights: Parameters<typeof weightedKappa>[1]) => weightedKappa(proportions, { n, ...weights });
  const nominal = of({ weights: 'nominal' });
  expectClose(nominal.kappa!, expected.kappa, { abs: 1e-10, why: 'unweighted' });
  expectClose(nominal.variance!, expected.psych_var_kappa, { rel: 1e-8, why: 'its variance' });
  const weighted = of({ weights: agreement(data.disagreement_weights) });
  expectClose(weighted.kappa!, expected.weighted_kappa, { abs: 1e-10, why: 'weights 0, 1, 3, 6' });
  expectClose(weighted.kappa!, 0.348, { abs: 6e-4, why: 'printed' });
  const uneven = of({ weights: agreement(data.alt_weights_asymmetric) });
  expectClose(uneven.kappa!, expected.weighted_kappa_asymmetric, { abs: 1e-10, why: 'uneven weights' });
  expectClose(uneven.kappa!, 0.353, { abs: 6e-4, why: 'printed' });
  expectClose(of({}).kappa!, expected.quadratic, { abs: 1e-10, why: 'quadratic' });
  expectClose(of({ weights: 'linear' }).kappa!, expected.linear, { abs: 1e-10, why: 'linear' });
});

/**
 * J. L. Fleiss, J. Cohen & B. S. Everitt, Psychological Bulletin 72 (1969) 323-327: table and weights; values by psych 2.2.9.
 *
 * The unweighted variance and both κ agree. psych's weighted variance does not: 0.0027486 against 0.0032483. It comes out exactly when the mean weight
 * of column j is taken as p_j. Σ_i w_ij, which the paper's w̄_.j = Σ_i w_ij p_i. is not. The delta method, with derivatives
 * by differences and no formula of the paper in it, gives 0.0032483.
 */
describe('large-sample variance of κ', () => {
  const { data, expected } = load<
    { counts: number[][]; agreement_weights: number[][] },
    Record<'kappa' | 'weighted_kappa' | 'var_kappa' | 'var_weighted', number>
  >('kappa-fleiss-cohen-everitt1969');
  const { counts, agreement_weights: weights } = data;
  const n = counts.flat().reduce((a, b) => a + b);
  const kappaOf = (cells: readonly number[], w: typeof weights) =>
    weightedKappa([cells.slice(0, 3), cells.slice(3, 6), cells.slice(6)], { weights: w }).kappa!;

  it('unweighted', () => {
    const plain = weightedKappa(counts, { weights: 'nominal' });
    expectClose(plain.kappa!, expected.kappa, { abs: 1e-6, why: 'κ' });
    expectClose(plain.variance!, expected.var_kappa, { abs: 1e-6, why: 'its variance' });
  });

  it('weighted, against the delta method', () => {
    const weighted = weightedKappa(counts, { weights });
    expectClose(weighted.kappa!, expected.weighted_kappa, { abs: 1e-6, why: 'κ' });
    const p = counts.flat().map((c) => c / n);
    const step = 1e-5;
    const nudged = (a: number, by: number) => p.map((cell, b) => (a === b ? cell + by : cell));
    const slope = p.map(
      (_, a) => (kappaOf(nudged(a, step), weights) - kappaOf(nudged(a, -step), weights)) / (2 * step),
    );
    const mean = slope.reduce((sum, g, a) => sum + g * p[a], 0);
    const delta = slope.reduce((sum, g, a) => sum + g * g * p[a], -mean * mean) / n;
    expectClose(weighted.variance!, delta, { rel: 1e-6, why: 'delta method' });
  });

  it('the reference engine’s other value is explained', () => {
    const p = counts.map((row) => row.map((c) => c / n));
    const sum = (f: (i: number, j: number) => number) =>
      [0, 1, 2].flatMap((i) => [0, 1, 2].map((j) => f(i, j))).reduce((a, b) => a + b);
    const row = p.map((cells) => cells.reduce((a, b) => a + b));
    const column = p.map((_, j) => p.reduce((a, cells) => a + cells[j], 0));
    const po = sum((i, j) => weights[i][j] * p[i][j]);
    const pe = sum((i, j) => weights[i][j] * row[i] * column[j]);
    const across = weights.map((w) => w.reduce((a, v, j) => a + v * column[j], 0));
    const slipped = weights.map((w, j) => row[j] * w.reduce((a, v) => a + v));
    const square = sum((i, j) => p[i][j] * (weights[i][j] * (1 - pe) - (across[i] + slipped[j]) * (1 - po)) ** 2);
    const variance = (square - (po * pe - 2 * pe + po) ** 2) / (n * (1 - pe) ** 4);
    expectClose(variance, expected.var_weighted, { rel: 1e-9, why: 'with the slip' });
  });
});

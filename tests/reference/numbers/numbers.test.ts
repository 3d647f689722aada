import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { quantile, type QuantileType } from '../../../src/kernel/quantile.js';
import { rankedProbabilityScore } from '../../../src/kernel/rps.js';
import { expectClose } from '../../expectClose.js';

function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

describe('quantile-types: Hyndman & Fan 1996, values by R', () => {
  const check = load<{
    data: { x: number[]; p: number[] };
    expected: Record<string, number[]>;
    tolerance: { abs: number };
  }>('quantile-types');

  it.each([1, 2, 3, 4, 5, 6, 7, 8, 9] as QuantileType[])('type %i', (type) => {
    const x = Float64Array.from(check.data.x);
    const expected = check.expected[`type${type}`];
    check.data.p.forEach((p, i) => {
      expectClose(quantile(x, p, { type }), expected[i], { abs: check.tolerance.abs, why: `p = ${p}` });
    });
  });
});

describe('rps-wilks: the two forecasters of the textbook and four more cases', () => {
  const check = load<{
    data: { forecast_prob: number[][]; observed_class: number[] };
    expected: {
      rps_each_sum: number[];
      mean_rps_divided_by_Kminus1: number;
      rpss_vs_uniform: number;
      rpss_vs_sample_climatology: number;
    };
    tolerance: { abs: number };
  }>('rps-wilks');
  const { forecast_prob: forecasts, observed_class: seen } = check.data;
  const abs = check.tolerance.abs;
  const mean = (score: (i: number) => number): number => seen.reduce((sum, _, i) => sum + score(i), 0) / seen.length;

  it('scores each case by the plain sum', () => {
    expect(forecasts).toHaveLength(6);
    forecasts.forEach((p, i) => {
      expectClose(rankedProbabilityScore(p, seen[i] - 1), check.expected.rps_each_sum[i], {
        abs,
        why: `case ${i + 1}`,
      });
    });
  });

  it('has the mean of software that divides by K - 1, and the same skill', () => {
    const own = mean((i) => rankedProbabilityScore(forecasts[i], seen[i] - 1));
    expectClose(own / 2, check.expected.mean_rps_divided_by_Kminus1, { abs, why: 'divided by K - 1' });
    const uniform = mean((i) => rankedProbabilityScore([1 / 3, 1 / 3, 1 / 3], seen[i] - 1));
    expectClose(1 - own / uniform, check.expected.rpss_vs_uniform, { abs, why: 'skill against equal odds' });
    const shares = [1, 2, 3].map((k) => seen.filter((s) => s === k).length / seen.length);
    const frequencies = mean((i) => rankedProbabilityScore(shares, seen[i] - 1));
    expectClose(1 - own / frequencies, check.expected.rpss_vs_sample_climatology, {
      abs,
      why: 'skill against the logged frequencies',
    });
  });
});

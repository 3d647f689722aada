import { describe, expect, it } from 'vitest';
import { randomStream } from '../../tools/sample/random.js';
import { expectClose } from '../expectClose.js';

function many(draw: () => number, n = 20_000): { mean: number; variance: number } {
  const values = Array.from({ length: n }, draw);
  const mean = values.reduce((a, b) => a + b, 0) / n;
  return { mean, variance: values.reduce((s, v) => s + (v - mean) ** 2, 0) / n };
}

describe('randomStream', () => {
  it('gives the same numbers for the same seed and name, others for another name or seed', () => {
    const first = (seed: number, name: string) => Array.from({ length: 5 }, randomStream(seed, name).uniform);
    expect(first(3, 'storms')).toEqual(first(3, 'storms'));
    expect(first(3, 'storms')).not.toEqual(first(3, 'visits'));
    expect(first(3, 'storms')).not.toEqual(first(4, 'storms'));
  });

  it('draws exponentials and Poisson counts with their mean and variance', () => {
    const random = randomStream(5, 'moments');
    const exponential = many(random.exponential);
    expectClose(exponential.mean, 1, { abs: 0.03, why: 'mean 1, four standard errors of 20000 draws' });
    expectClose(exponential.variance, 1, { abs: 0.08, why: 'variance 1, four standard errors' });
    const poisson = many(() => random.poisson(2.6));
    expectClose(poisson.mean, 2.6, { abs: 0.046, why: 'mean as asked, four standard errors' });
    expectClose(poisson.variance, 2.6, { abs: 0.13, why: 'a Poisson count has its mean as variance' });
  });
});

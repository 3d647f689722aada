import { describe, expect, it } from 'vitest';
import { findRoot } from '../../src/kernel/findRoot.js';
import { leastSquares } from '../../src/kernel/leastSquares.js';
import { levenberg, type Residuals } from '../../src/kernel/levenberg.js';
import { ranks } from '../../src/kernel/ranks.js';
import { expectClose } from '../expectClose.js';

describe('leastSquares', () => {
  // y = 1 + 2x with residuals (1, -2, 1)/6·6 by hand: x = 0, 1, 2, y = 2, 1, 6.
  const x = Float64Array.of(1, 0, 1, 1, 1, 2);
  const y = Float64Array.of(2, 1, 6);
  it('by hand', () => {
    const got = leastSquares(x, y, { n: 3, p: 2 });
    expectClose(got.coefficients[0], 1, { rel: 1e-14, why: 'intercept' });
    expectClose(got.coefficients[1], 2, { rel: 1e-14, why: 'slope' });
    expectClose(got.rss, 6, { rel: 1e-14, why: '1 + 4 + 1' });
    [5 / 6, -1 / 2, -1 / 2, 1 / 2].forEach((c, i) =>
      expectClose(got.unscaledCovariance[i], c, { rel: 1e-13, why: `${i}` }),
    );
    [5 / 6, 1 / 3, 5 / 6].forEach((h, i) => expectClose(got.leverages[i], h, { rel: 1e-13, why: `leverage ${i}` }));
  });
  it('keeps digits where normal equations lose all: columns 1e-7 apart', () => {
    const e = 1e-7;
    const near = Float64Array.of(1, 1, e, 0, 0, e);
    const got = leastSquares(near, Float64Array.of(2, e, e), { n: 3, p: 2 });
    got.coefficients.forEach((c) => expectClose(c, 1, { rel: 1e-8, why: 'Läuchli' }));
  });
  it('says singular for a repeated column, whatever its unit, and for too few rows', () => {
    expect(leastSquares(Float64Array.of(1, 1e9, 2, 2e9, 3, 3e9), y, { n: 3, p: 2 }).status).toBe('singular');
    expect(leastSquares(Float64Array.of(1, 0), y, { n: 1, p: 2 }).status).toBe('singular');
    expect(leastSquares(Float64Array.of(1, 0, 1, 0, 1, 0), y, { n: 3, p: 2 }).status).toBe('singular');
  });
});

describe('levenberg', () => {
  const rosenbrock: Residuals = ([a, b], r, j) => {
    r[0] = -10 * (b - a * a);
    r[1] = -(1 - a);
    if (j) j.set([-20 * a, 10, -1, 0]);
    return true;
  };
  it("walks Rosenbrock's valley to its end", () => {
    const { status, point, rss } = levenberg(rosenbrock, Float64Array.of(-1.2, 1), { n: 2 });
    expect(status).toBe('converged');
    point.forEach((v) => expectClose(v, 1, { rel: 1e-10, why: 'minimum at (1, 1)' }));
    expect(rss).toBeLessThan(1e-20);
  });
  it('holds what is held, and with everything held only evaluates', () => {
    const half = levenberg(rosenbrock, Float64Array.of(0.5, 3), { n: 2, held: [0] });
    expect(half.point[0]).toBe(0.5);
    expectClose(half.point[1], 0.25, { rel: 1e-10, why: 'b = a²' });
    expect(levenberg(rosenbrock, Float64Array.of(0, 0), { n: 2, held: [0, 1] })).toMatchObject({
      iterations: 0,
      rss: 1,
    });
  });
  it('says singular for a parameter without effect and iteration-limit when stopped', () => {
    const idle: Residuals = ([a], r, j) => {
      r[0] = 3 - a;
      r[1] = 1 - a;
      if (j) j.set([1, 0, 1, 0]);
      return true;
    };
    expect(levenberg(idle, Float64Array.of(0, 0), { n: 2 }).status).toBe('singular');
    expect(levenberg(rosenbrock, Float64Array.of(-1.2, 1), { n: 2, maxIterations: 1 }).status).toBe('iteration-limit');
  });
  it('refuses a start outside the domain or without a finite value', () => {
    expect(() => levenberg(() => false, Float64Array.of(1), { n: 1 })).toThrow(
      'levenberg: the start is outside the domain of the model',
    );
    const nan: Residuals = (_, r) => {
      r[0] = NaN;
      return true;
    };
    expect(() => levenberg(nan, Float64Array.of(1), { n: 1 })).toThrow(
      'levenberg: the residuals at the start must be finite, got NaN',
    );
  });
});

it('findRoot closes in, takes an end that is one, and refuses equal signs', () => {
  expectClose(
    findRoot((v) => v ** 3 - 2, { low: 0, high: 5 }),
    Math.cbrt(2),
    { rel: 1e-15, why: '∛2' },
  );
  expectClose(
    findRoot((v) => Math.expm1(40 * (v - 0.9)), { low: 0, high: 1 }),
    0.9,
    { rel: 1e-14, why: 'a bent curve' },
  );
  expect(findRoot((v) => v - 1, { low: 1, high: 2 })).toBe(1);
  expect(findRoot((v) => v - 2, { low: 1, high: 2 })).toBe(2);
  expect(findRoot((v) => v * v + 1, { low: 0, high: 1 })).toBeNaN();
});

it('ties share their ranks', () => {
  expect([...ranks([3, 1, 3, 2])]).toEqual([3.5, 1, 3.5, 2]);
});

import { describe, expect, it } from 'vitest';
import { maximise, type Objective } from '../../src/kernel/newton.js';
import { expectClose } from '../expectClose.js';

/** Minus Rosenbrock's banana (1960): maximum 0 at (1, 1), its ridge defeats plain Newton steps. */
const banana: Objective = (p, g, h) => {
  const [x, y] = p;
  if (g) {
    g[0] = 2 * (1 - x) + 400 * x * (y - x * x);
    g[1] = -200 * (y - x * x);
  }
  if (h) h.set([-2 + 400 * y - 1200 * x * x, 400 * x, 400 * x, -200]);
  return -((1 - x) ** 2) - 100 * (y - x * x) ** 2;
};

describe('maximise', () => {
  it('walks the curved ridge from the usual start', () => {
    const diary = maximise(banana, new Float64Array([-1.2, 1]));
    expect(diary.status).toBe('converged');
    expectClose(diary.point[0], 1, { abs: 1e-8, why: 'known maximum' });
    expectClose(diary.point[1], 1, { abs: 1e-8, why: 'known maximum' });
    expect(diary.iterations).toBeLessThan(40);
    expect(diary.gradient).toBeLessThanOrEqual(1e-8);
    // The factor is that of the negative Hessian [802 -400; -400 200].
    expectClose(diary.factor![0], Math.sqrt(802), { rel: 1e-7, why: 'L11 = √802' });
  });

  it('reaches the top of a parabola in one step and leaves the start alone', () => {
    const start = new Float64Array([10]);
    const diary = maximise((p, g, h) => {
      if (g) g[0] = -2 * (p[0] - 3);
      if (h) h[0] = -2;
      return -((p[0] - 3) ** 2);
    }, start);
    expect(diary).toMatchObject({ status: 'converged', iterations: 1 });
    expectClose(diary.point[0], 3, { rel: 1e-15, why: 'Newton is exact on a parabola' });
    expect(start[0]).toBe(10);
  });

  it('leaves a valley floor where the Hessian has the wrong sign', () => {
    // -(x² - 1)²: minimum at 0, maxima at ±1.
    const diary = maximise(
      (p, g, h) => {
        const x = p[0];
        if (g) g[0] = -4 * x * (x * x - 1);
        if (h) h[0] = 4 - 12 * x * x;
        return -((x * x - 1) ** 2);
      },
      new Float64Array([0.1]),
    );
    expect(diary.status).toBe('converged');
    expectClose(diary.point[0], 1, { abs: 1e-8, why: 'known maximum' });
  });

  it('halves steps that leave the domain', () => {
    // ln x - x: from 3, Newton's full step goes to -3 where the logarithm is NaN.
    const diary = maximise(
      (p, g, h) => {
        const x = p[0];
        if (g) g[0] = 1 / x - 1;
        if (h) h[0] = -1 / (x * x);
        return Math.log(x) - x;
      },
      new Float64Array([3]),
    );
    expect(diary.status).toBe('converged');
    expectClose(diary.point[0], 1, { abs: 1e-8, why: 'known maximum' });
  });

  it('says singular on a flat direction and on a start at a saddle', () => {
    const flat = maximise(
      (p, g, h) => {
        if (g) g.set([-2 * p[0], 0]);
        if (h) h.set([-2, 0, 0, 0]);
        return -(p[0] ** 2);
      },
      new Float64Array([1, 5]),
    );
    expect(flat.status).toBe('singular');
    expect(flat.factor).toBeUndefined();
    const saddle = maximise(
      (p, g, h) => {
        if (g) g[0] = 2 * p[0];
        if (h) h[0] = 2;
        return p[0] ** 2;
      },
      new Float64Array([0]),
    );
    expect(saddle.status).toBe('singular');
    const broken = maximise(
      (p, g, h) => {
        if (g) g[0] = 1;
        if (h) h[0] = NaN;
        return p[0];
      },
      new Float64Array([0]),
    );
    expect(broken.status).toBe('singular');
  });

  it('says iteration-limit when it is cut short, and when the gradient lies', () => {
    expect(maximise(banana, new Float64Array([-1.2, 1]), { maxIterations: 3 })).toMatchObject({
      status: 'iteration-limit',
      iterations: 3,
    });
    const liar = maximise(
      (p, g, h) => {
        if (g) g[0] = -1;
        if (h) h[0] = -1;
        return p[0];
      },
      new Float64Array([0]),
    );
    expect(liar).toMatchObject({ status: 'iteration-limit', value: 0, gradient: 1 });
  });

  it('keeps every step within the longest allowed', () => {
    const seen: number[] = [];
    maximise(
      (p, g, h) => {
        seen.push(p[0]);
        if (g) g[0] = -2 * (p[0] - 10);
        if (h) h[0] = -2;
        return -((p[0] - 10) ** 2);
      },
      new Float64Array([0]),
      { maxStep: 4 },
    );
    expect([...new Set(seen)]).toEqual([0, 4, 8, 10]);
  });

  it('refuses a start outside the domain', () => {
    expect(() => maximise(() => -Infinity, new Float64Array([1]))).toThrow(
      new RangeError('maximise: the value at the start must be finite, got -Infinity'),
    );
  });
});

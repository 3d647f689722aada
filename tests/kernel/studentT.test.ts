import { describe, expect, it } from 'vitest';
import { incompleteBeta, lnBeta, lnGamma } from '../../src/kernel/incompleteBeta.js';
import { normalQuantile } from '../../src/kernel/normal.js';
import { studentCdf, studentCritical, studentPdf, studentQuantile } from '../../src/kernel/studentT.js';
import { expectClose } from '../expectClose.js';

describe('lnGamma and lnBeta', () => {
  it('is ln (n - 1)! and has Γ(1/2) = √π', () => {
    let factorial = 1;
    for (let n = 2; n <= 25; n++) {
      factorial *= n - 1;
      expectClose(Math.exp(lnGamma(n)) / factorial, 1, { abs: 2e-14, why: `Γ(${n})` });
    }
    expectClose(lnGamma(0.5), 0.5 * Math.log(Math.PI), { rel: 1e-14, why: 'Γ(1/2)' });
    expect(lnGamma(0)).toBeNaN();
  });
  it('Γ(x)Γ(1 - x) = π/sin πx, and Γ(x + 1) = x·Γ(x) across the change of method', () => {
    for (const x of [0.1, 0.3, 0.77])
      expectClose(lnGamma(x) + lnGamma(1 - x), Math.log(Math.PI / Math.sin(Math.PI * x)), { rel: 1e-13, why: `${x}` });
    for (const x of [10.9, 11.5, 11.99, 12.2])
      expectClose(lnGamma(x + 1) - lnGamma(x), Math.log(x), { rel: 1e-13, why: `${x}` });
  });
  it('keeps its digits for a large argument: B(n, 1/2) from n = 1 by its recursion', () => {
    let ln = Math.log(2);
    for (let n = 1; n < 2000; n++) ln += Math.log(n / (n + 0.5));
    expectClose(lnBeta(2000, 0.5), ln, { rel: 1e-12, why: 'B(2000, 1/2)' });
  });
});

describe('incompleteBeta', () => {
  it('is a binomial tail for whole arguments', () => {
    for (const x of [0.05, 0.3, 0.5, 0.9]) {
      const choose = [1, 8, 28, 56, 70, 56, 28, 8, 1];
      const tail = choose.reduce((sum, c, k) => sum + (k < 3 ? 0 : c * x ** k * (1 - x) ** (8 - k)), 0);
      expectClose(incompleteBeta(x, { a: 3, b: 6 }), tail, { rel: 1e-13, why: `x ${x}` });
    }
    expect(incompleteBeta(0, { a: 1, b: 2 })).toBe(0);
    expect(incompleteBeta(1, { a: 1, b: 2 })).toBe(1);
    expect(incompleteBeta(-0.1, { a: 1, b: 2 })).toBeNaN();
  });
});

describe("Student's t", () => {
  it('has closed forms for 1, 2 and 4 degrees of freedom', () => {
    for (const t of [-30, -2.5, -0.1, 0, 0.4, 3]) {
      expectClose(studentCdf(t, { df: 1 }), 0.5 + Math.atan(t) / Math.PI, { abs: 1e-15, why: `Cauchy ${t}` });
      expectClose(studentCdf(t, { df: 2 }), 0.5 + t / (2 * Math.sqrt(2 + t * t)), { abs: 1e-15, why: `2 df ${t}` });
    }
    for (const p of [1e-10, 0.01, 0.3, 0.975]) {
      const exact = (2 * p - 1) / Math.sqrt(2 * p * (1 - p));
      expectClose(studentQuantile(p, { df: 2 }), exact, { rel: 1e-13, why: `quantile 2 df ${p}` });
    }
  });
  it.each([
    [1, 12.706204736174698],
    [3, 3.1824463052837078],
    [10, 2.2281388519649385],
    [35, 2.0301079282503425],
    [120, 1.9799304050824413],
  ])('has the 0.975 point of %d degrees of freedom (tables, from memory)', (df, t) => {
    expectClose(studentCritical(0.95, { df }), t, { rel: 1e-11, why: `${df}` });
  });
  it('quantile undoes the distribution function, far out and for odd degrees', () => {
    for (const df of [0.5, 1.7, 7, 300])
      for (const p of [1e-12, 1e-4, 0.2, 0.49, 0.8]) {
        const back = studentCdf(studentQuantile(p, { df }), { df });
        expectClose(back, p, { rel: 2e-12, why: `df ${df}, p ${p}` });
      }
    expect(studentQuantile(0.5, { df: 3 })).toBe(0);
    expect(studentQuantile(0, { df: 3 })).toBe(-Infinity);
    expect(studentQuantile(0.3, { df: 0 })).toBeNaN();
    expect(studentQuantile(0.9, { df: Infinity })).toBe(normalQuantile(0.9));
    expect(studentCdf(-Infinity, { df: 3 })).toBe(0);
  });
  it('density is the slope of the distribution function', () => {
    const slope = (studentCdf(1.3 + 1e-5, { df: 6 }) - studentCdf(1.3 - 1e-5, { df: 6 })) / 2e-5;
    expectClose(studentPdf(1.3, { df: 6 }), slope, { rel: 1e-9, why: 'central difference' });
  });
});

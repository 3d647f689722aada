import { describe, expect, it } from 'vitest';
import {
  backSolve,
  choleskyFactor,
  choleskyInverse,
  choleskyLogDet,
  choleskySolve,
  conditionNumber,
  forwardSolve,
} from '../../src/kernel/cholesky.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

/** L·Lᵀ of L with rows 2 0 0 / 6 1 0 / -8 5 3. */
const HAND = new Float64Array([4, 12, -16, 12, 37, -43, -16, -43, 98]);

/** B·Bᵀ + 0.1·I of a random B. */
function randomPositive(n: number, seed: number): Float64Array {
  const random = createRandom(seed);
  const b = Float64Array.from({ length: n * n }, () => random.normal());
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      for (let k = 0; k < n; k++) a[i * n + j] += b[i * n + k] * b[j * n + k];
      if (i === j) a[i * n + j] += 0.1;
    }
  }
  return a;
}

describe('choleskyFactor', () => {
  it('factors a matrix that comes out in whole numbers', () => {
    const l = HAND.slice();
    expect(choleskyFactor(l, 3)).toBe('ok');
    expect([l[0], l[3], l[4], l[6], l[7], l[8]]).toEqual([2, 6, 1, -8, 5, 3]);
    expectClose(choleskyLogDet(l, 3), Math.log(36), { rel: 1e-15, why: 'det = (2·1·3)²' });
    const b = new Float64Array([-20, -43, 192]);
    choleskySolve(l, 3, b);
    expect([...b]).toEqual([1, 2, 3]);
  });

  it('says so when the matrix is not positive definite, zero, indefinite or NaN', () => {
    for (const a of [
      [0, 0, 0, 0],
      [1, 2, 2, 1],
      [1, 1, 1, 1],
      [1, 0, NaN, 1],
      [Infinity, 0, 0, 1],
    ]) {
      expect(choleskyFactor(new Float64Array(a), 2)).toBe('not-positive-definite');
    }
    expect(choleskyFactor(new Float64Array(0), 0)).toBe('ok');
  });

  it('never reads above the diagonal', () => {
    const l = HAND.slice();
    l[1] = l[2] = l[5] = NaN;
    choleskyFactor(l, 3);
    const b = new Float64Array([-20, -43, 192]);
    forwardSolve(l, 3, b);
    backSolve(l, 3, b);
    expect([...b]).toEqual([1, 2, 3]);
  });
});

describe('inverse and triangular solves', () => {
  it.each([1, 2, 5, 17])('multiply back to the identity, n = %i', (n) => {
    const a = randomPositive(n, n);
    const l = a.slice();
    expect(choleskyFactor(l, n)).toBe('ok');
    const inverse = new Float64Array(n * n);
    choleskyInverse(l, n, inverse);
    const loss = conditionNumber(a, n) * 1e-15;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        let sum = 0;
        for (let k = 0; k < n; k++) sum += a[i * n + k] * inverse[k * n + j];
        expectClose(sum, i === j ? 1 : 0, { abs: loss, why: `A·A⁻¹ at ${i}, ${j}: rounding times the condition` });
        expect(inverse[i * n + j]).toBe(inverse[j * n + i]);
      }
    }
  });

  it('makes draws with the inverse as covariance: |L⁻ᵀz|² in A is |z|²', () => {
    const n = 6;
    const a = randomPositive(n, 2);
    const l = a.slice();
    choleskyFactor(l, n);
    const random = createRandom(9);
    const z = Float64Array.from({ length: n }, () => random.normal());
    const x = z.slice();
    backSolve(l, n, x);
    let energy = 0;
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) energy += x[i] * a[i * n + j] * x[j];
    expectClose(
      energy,
      z.reduce((sum, v) => sum + v * v, 0),
      { rel: 1e-11, why: 'xᵀAx = zᵀz' },
    );
  });
});

describe('conditionNumber', () => {
  it('is exact for a diagonal and for a 2 × 2 by hand, Infinity where there is none', () => {
    expect(conditionNumber(new Float64Array([1, 0, 0, 4]), 2)).toBe(4);
    // [2 1; 1 2]: ‖A‖₁ = 3, inverse [2 -1; -1 2]/3 with norm 1.
    expectClose(conditionNumber(new Float64Array([2, 1, 1, 2]), 2), 3, { rel: 1e-14, why: 'by hand' });
    expect(conditionNumber(new Float64Array([1, 1, 1, 1]), 2)).toBe(Infinity);
  });

  it('matches the published number of the Hilbert matrix of order 6', () => {
    // 1-norm condition 2.907e7 (Higham, Accuracy and Stability of Numerical Algorithms, Hilbert matrices; value from memory).
    const hilbert = Float64Array.from({ length: 36 }, (_, i) => 1 / (Math.floor(i / 6) + (i % 6) + 1));
    expectClose(conditionNumber(hilbert, 6), 2.907e7, { rel: 1e-3, why: 'four printed digits' });
  });
});

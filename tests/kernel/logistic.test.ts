import { describe, expect, it } from 'vitest';
import { logLogisticCdf, logisticCdf, logisticPdf, logisticQuantile } from '../../src/kernel/logistic.js';
import { expectClose } from '../expectClose.js';
import { ONE, bigLogisticCdf, small, smallLog, times } from './bigNumbers.js';

const POINTS = [-700, -40, -36.5, -3.2, -1e-9, 0, 1e-9, 0.5, 4, 30];
const DOUBLE = 'full double precision, a few units in the last place';

describe('logistic distribution', () => {
  it('agrees with 3000 bits in both tails', () => {
    for (const x of POINTS) {
      const F = bigLogisticCdf(x);
      expectClose(logisticCdf(x), small(F), { rel: 1e-15, why: `F(${x}): ${DOUBLE}` });
      expectClose(logisticPdf(x), small(times(F, ONE - F)), { rel: 1e-15, why: `f(${x}): ${DOUBLE}` });
      expectClose(logLogisticCdf(x), x > 0 ? Math.log1p(-small(ONE - F)) : smallLog(F), {
        rel: 1e-15,
        why: `ln F(${x}): ${DOUBLE}`,
      });
    }
  });

  it('holds where e^x under- or overflows', () => {
    expect(logLogisticCdf(-1e5)).toBe(-1e5);
    expect(logisticCdf(-1e5)).toBe(0);
    expect(logisticCdf(1e5)).toBe(1);
    expect(logisticPdf(1e5)).toBe(0);
    expect(logisticCdf(Infinity)).toBe(1);
    expect(logLogisticCdf(-Infinity)).toBe(-Infinity);
    expect(logisticCdf(NaN)).toBeNaN();
  });

  it('inverts', () => {
    for (const p of [1e-300, 1e-9, 0.2499, 0.2501, 0.4999999, 0.75, 0.999]) {
      expectClose(logisticCdf(logisticQuantile(p)), p, { rel: 2e-13, why: 'F(F⁻¹(p)) = p; |x| times the rounding' });
    }
    // logit(0.75) = ln 3.
    expectClose(logisticQuantile(0.75), Math.log(3), { rel: 1e-15, why: 'exact' });
    expect(logisticQuantile(0.5)).toBe(0);
    expect(logisticQuantile(0)).toBe(-Infinity);
    expect(logisticQuantile(1)).toBe(Infinity);
    expect(logisticQuantile(1.5)).toBeNaN();
  });
});

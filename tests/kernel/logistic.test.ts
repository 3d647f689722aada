import { describe, expect, it } from 'vitest';
import { logLogisticCdf, logisticCdf } from '../../src/kernel/logistic.js';
import { expectClose } from '../expectClose.js';
import { ONE, bigLogisticCdf, small, smallLog } from './bigNumbers.js';

const POINTS = [-700, -40, -36.5, -3.2, -1e-9, 0, 1e-9, 0.5, 4, 30];
const DOUBLE = 'full double precision, a few units in the last place';

describe('logistic distribution', () => {
  it('agrees with 3000 bits in both tails', () => {
    for (const x of POINTS) {
      const F = bigLogisticCdf(x);
      expectClose(logisticCdf(x), small(F), { rel: 1e-15, why: `F(${x}): ${DOUBLE}` });
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
    expect(logisticCdf(Infinity)).toBe(1);
    expect(logLogisticCdf(-Infinity)).toBe(-Infinity);
    expect(logisticCdf(NaN)).toBeNaN();
  });
});

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { filterShared } from '../../src/kernel/filterShared.js';
import { expectClose } from '../expectClose.js';

interface Dense {
  readonly times: number[];
  readonly group: number[];
  readonly own: number[];
  readonly columns: number[][];
  readonly shared: number;
  readonly drift: number;
  readonly memory: number;
  readonly products: number[][];
  readonly logDet: number;
  readonly last: number[];
  readonly lastVariance: number;
}

const dense = JSON.parse(
  readFileSync(new URL('../reference/lasting/denseGaussian.json', import.meta.url), 'utf8'),
) as Dense;

const noise = {
  times: Float64Array.from(dense.times),
  group: Int32Array.from(dense.group),
  own: Float64Array.from(dense.own),
  shared: dense.shared,
  drift: dense.drift,
  memory: dense.memory,
};
const columns = dense.columns.map((column) => Float64Array.from(column));

describe('noise shared by neighbours, against the dense covariance (denseGaussian.py)', () => {
  const filtered = filterShared(noise, columns);
  const near = { rel: 1e-10, why: 'the same Gaussian, by Cholesky there and step by step here' };

  it('weighs every pair of columns alike', () => {
    dense.products.forEach((row, a) =>
      row.forEach((value, b) => {
        expectClose(filtered.product(a, b), value, near);
      }),
    );
  });

  it('has the same determinant', () => {
    expectClose(filtered.logDet, dense.logDet, near);
  });

  it('sees the same drift at the last observation', () => {
    dense.last.forEach((value, a) => {
      expectClose(filtered.last[a], value, near);
    });
    expectClose(filtered.lastVariance, dense.lastVariance, near);
  });

  it('is a plain weighting where nothing is shared', () => {
    const plain = filterShared({ ...noise, shared: 0, drift: 0 }, columns);
    const byHand = columns[0].reduce((sum, v, i) => sum + (v * columns[1][i]) / noise.own[i], 0);
    expectClose(plain.product(0, 1), byHand, { rel: 1e-13, why: 'a sum written out' });
    expect(plain.lastVariance).toBe(0);
  });
});

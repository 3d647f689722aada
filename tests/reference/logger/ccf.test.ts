import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { crossCorrelation } from '../../../src/fit/logger/crossCorrelation.js';
import { differenced } from '../../../src/fit/logger/evenSeries.js';
import { expectClose } from '../../expectClose.js';

/** Each file names its source; the reference is R's `ccf`. */
function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

describe('cross-correlation', () => {
  it('of a leading indicator and sales: the indicator leads by three periods', () => {
    const { data, expected } = load<{
      data: { lead: number[]; sales: number[] };
      expected: Record<'diff1' | 'levels', { ccf: number[] }>;
    }>('ccf-bjsales');
    for (const [key, of] of [
      ['diff1', (v: number[]) => differenced(Float64Array.from(v))],
      ['levels', (v: number[]) => Float64Array.from(v)],
    ] as const) {
      const { correlation, peakLag } = crossCorrelation(of(data.lead), of(data.sales), { maxLag: 12 });
      // R's lag is ours with the other sign.
      expected[key].ccf.forEach((r, i) =>
        expectClose(correlation[24 - i], r, { abs: 1e-13, why: `${key}, R's lag ${i - 12}` }),
      );
      if (key === 'diff1') expectClose(peakLag, 3, { abs: 0.3, why: 'Box and Jenkins find a delay of three periods' });
    }
  });

  it('of an AR(1) series and a late copy, with the rows that their memory leaves', () => {
    const { data, expected } = load<{
      data: { upstream: number[]; downstream: number[] };
      expected: { ccf: number[]; n_eff_bartlett: number };
    }>('ccf-lag4-ar1');
    const { correlation, effective, peakLag } = crossCorrelation(data.upstream, data.downstream, { maxLag: 10 });
    expected.ccf.forEach((r, i) => expectClose(correlation[20 - i], r, { abs: 1e-13, why: `R's lag ${i - 10}` }));
    expectClose(effective, expected.n_eff_bartlett, { rel: 1e-12, why: 'n(1 - r r)/(1 + r r)' });
    expect(Math.round(peakLag)).toBe(4);
  });

  it.each(['lew', 'mavro', 'michelso'])(
    'of a series with itself, one row apart: NIST StRD univariate, certified: %s',
    (name) => {
      const { data, expected, tolerance } = load<{
        data: { y: number[] };
        expected: { lag1_autocorrelation: string };
        tolerance: { relative: number };
      }>(`nist-uni-${name}`);
      const { correlation } = crossCorrelation(data.y, data.y, { maxLag: 1 });
      const r = Number(expected.lag1_autocorrelation);
      // The file asks for 1e-9; eleven digits are there.
      const rel = 1e-11;
      expect(rel).toBeLessThan(tolerance.relative);
      expectClose(correlation[2], r, { rel, why: 'one row later' });
      expectClose(correlation[0], r, { rel, why: 'one row earlier' });
      expectClose(correlation[1], 1, { rel, why: 'with itself' });
    },
  );
});

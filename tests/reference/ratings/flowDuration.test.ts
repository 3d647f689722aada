import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { quantile } from '../../../src/kernel/quantile.js';
import { exceedance, flowDuration, plottingPositions } from '../../../src/ratings/flowDuration.js';
import { expectClose } from '../../expectClose.js';

/** Each file names its source, the kind of its expected values and its licence; `data` is complete. */
function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

function expectAll(actual: ArrayLike<number>, expected: readonly number[], { abs, why }: { abs: number; why: string }) {
  expect(actual).toHaveLength(expected.length);
  expected.forEach((value, i) => expectClose(actual[i], value, { abs, why: `${why} ${i}` }));
}

describe('flow duration', () => {
  it('fdc-potomac-365', () => {
    const { data, expected, tolerance } = load<{
      data: { daily_flow_cfs_sorted_ascending: number[] };
      expected: Record<string, number[]> & {
        exceedance_of_flow: { flow: number[]; fraction_ge: number[]; weibull_interpolated: number[] };
      };
      tolerance: { rel: number };
    }>('fdc-potomac-365');
    const flows = data.daily_flow_cfs_sorted_ascending;
    for (const [type, key] of [
      [6, 'Q_weibull_type6'],
      [5, 'Q_hazen_type5'],
      [7, 'Q_type7'],
      [8, 'Q_type8'],
    ] as const) {
      const curve = flowDuration(flows, { exceeded: expected['exceedance'], type });
      expected[key].forEach((q, i) => expectClose(curve.flows[i], q, { rel: tolerance.rel, why: `${key} ${i}` }));
    }
    const { flow, weibull_interpolated } = expected.exceedance_of_flow;
    const share = exceedance(flows);
    flow.forEach((q, i) => {
      const above = flows.findIndex((v) => v >= q);
      const below = flows[above] === q ? above : above - 1;
      const mix = below === above ? 0 : (q - flows[below]) / (flows[above] - flows[below]);
      const got = share[below] + mix * (share[above] - share[below]);
      expectClose(got, weibull_interpolated[i], { rel: tolerance.rel, why: `exceedance of ${q}` });
    });
  });

  it('fdc-weibull-ties: ties, zeros and a missing value, as printed', () => {
    const { data, expected, tolerance } = load<{
      data: { flow: (number | null)[] };
      expected: { published: (number | null)[]; without_zeros_published: (number | null)[] };
      tolerance: { abs: number };
    }>('fdc-weibull-ties');
    const check = (flows: number[], printed: (number | null)[]): void => {
      const got = exceedance(flows);
      printed.forEach((p, i) => {
        if (p === null) expect(got[i]).toBeNaN();
        else expectClose(got[i], p, { abs: tolerance.abs, why: `row ${i}` });
      });
    };
    check(
      data.flow.map((q) => q ?? NaN),
      expected.published,
    );
    check(
      data.flow.map((q) => q || NaN),
      expected.without_zeros_published,
    );
  });

  it('plotting-positions-conecuh', () => {
    const { data, expected, tolerance } = load<{
      data: { flow: number[] };
      expected: Record<string, number[]>;
      tolerance: { abs: number };
    }>('plotting-positions-conecuh');
    for (const position of ['weibull', 'hazen', 'cunnane', 'blom', 'gringorten'] as const)
      expectAll(plottingPositions(20, { position }), expected[position], { abs: tolerance.abs, why: position });
    const flows = Float64Array.from(data.flow);
    const quartiles = [0.25, 0.5, 0.75].map((p) => quantile(flows, p, { type: 6 }));
    expectAll(quartiles, expected['quartiles_type6'], { abs: tolerance.abs, why: 'quartile' });
  });
});

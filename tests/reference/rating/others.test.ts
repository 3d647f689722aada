import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { areaRatio } from '../../../src/fit/rating/areaRatio.js';
import { celerityFromRating, kinematicCelerity } from '../../../src/fit/rating/celerity.js';
import { exceedance, flowDuration, plottingPositions } from '../../../src/fit/rating/flowDuration.js';
import { isotonicStep } from '../../../src/fit/rating/isotonicStep.js';
import { threePointOffset } from '../../../src/fit/rating/threePointOffset.js';
import { travelTime } from '../../../src/fit/rating/travelTime.js';
import { quantile } from '../../../src/kernel/quantile.js';
import { expectClose } from '../../expectClose.js';

/** Each file names its source, the kind of its expected values and its licence; `data` is complete. */
function load<T>(name: string): T {
  return JSON.parse(readFileSync(new URL(`${name}.json`, import.meta.url), 'utf8')) as T;
}

function expectAll(actual: ArrayLike<number>, expected: readonly number[], { abs, why }: { abs: number; why: string }) {
  expect(actual).toHaveLength(expected.length);
  expected.forEach((value, i) => expectClose(actual[i], value, { abs, why: `${why} ${i}` }));
}

describe('isotonic', () => {
  it.each(['isotonic-r-examples', 'isotonic-sklearn'])('%s', (name) => {
    const { data, expected, tolerance } = load<{
      data: Record<'y1' | 'y3' | 'y4' | 'yw' | 'w', number[]>;
      expected: Record<string, number[]> & { R2_4?: number };
      tolerance: { abs: number };
    }>(name);
    const { abs } = tolerance;
    const r = name === 'isotonic-r-examples';
    for (const key of ['y1', 'y3', 'y4'] as const) {
      const fit = isotonicStep([...data[key].keys()], data[key]);
      expectAll(fit.fitted, expected[r ? key.replace('y', 'yf') : key], { abs, why: key });
    }
    const weighted = isotonicStep([...data.yw.keys()], data.yw, { weight: data.w });
    expectAll(weighted.fitted, expected['weighted'], { abs, why: 'weighted' });
    if (r) {
      expectClose(isotonicStep([...data.y4.keys()], data.y4).rSquared, expected.R2_4!, { abs, why: 'R²' });
      // Last rows of the steps but the last, from 1 as R counts.
      const { fitted } = isotonicStep([...data.y1.keys()], data.y1);
      const knots = [...fitted.keys()].filter((i) => fitted[i] !== fitted[i + 1]).map((i) => i + 1);
      expect(knots).toEqual(expected['knots1']);
    }
  });

  it('isotonic-pituitary: the three rules for ties', () => {
    const { data, expected, tolerance } = load<{
      data: { age: number[]; size: number[] };
      expected: Record<'primary' | 'secondary' | 'tertiary', number[]>;
      tolerance: { abs: number };
    }>('isotonic-pituitary');
    for (const ties of ['primary', 'secondary', 'tertiary'] as const) {
      const { fitted } = isotonicStep(data.age, data.size, { ties });
      // The reference lists the values of a primary tie in ascending order, not row by row.
      const listed = ties === 'primary' ? fitted.slice().sort() : fitted;
      expectAll(listed, expected[ties], { abs: tolerance.abs, why: ties });
    }
  });
});

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

describe('waves and travel', () => {
  it('celerity-from-rating', () => {
    const { data, expected, tolerance } = load<{
      data: Record<'a' | 'b' | 'h0' | 'h' | 'B', number>;
      expected: { Q: number; celerity: number };
      tolerance: { rel: number };
    }>('celerity-from-rating');
    const { rel } = tolerance;
    const got = celerityFromRating(data.h, { coefficient: data.a, exponent: data.b, offsetM: data.h0, widthM: data.B });
    expectClose(got.dischargeM3s, expected.Q, { rel, why: 'Q' });
    expectClose(got.celerityMs, expected.celerity, { rel, why: 'celerity' });
  });

  it('kinematic-celerity: wide, rectangle, trapezoid, triangle', () => {
    type Section = { y: number; n: number; S: number; b: number; z: number };
    const { data, expected, tolerance } = load<{
      data: Record<'wide' | 'rectangular' | 'trapezoid' | 'triangle', Section & { L: number }>;
      expected: Record<string, Record<string, number>>;
      tolerance: { rel: number; numeric_rel: number };
    }>('kinematic-celerity');
    const { rel } = tolerance;
    const { L, y, n, S } = data.wide;
    const wide = kinematicCelerity(y, { bottomWidthM: Infinity, roughness: n, slope: S });
    expectClose(wide.velocityMs, expected['wide']['V'], { rel, why: 'V' });
    expectClose(wide.celerityMs, expected['wide']['celerity'], { rel, why: 'celerity' });
    expectClose(L / wide.celerityMs / 60, expected['wide']['travel_time_minutes_8km'], { rel, why: 'minutes' });
    for (const name of ['rectangular', 'trapezoid', 'triangle'] as const) {
      const section = data[name];
      const got = kinematicCelerity(section.y, {
        bottomWidthM: section.b,
        sideSlope: section.z,
        roughness: section.n,
        slope: section.S,
      });
      expectClose(got.velocityMs, expected[name]['V'], { rel, why: `${name} V` });
      expectClose(got.dischargeM3s, expected[name]['Q'], { rel, why: `${name} Q` });
      expectClose(got.celerityMs, expected[name]['celerity'], { rel, why: `${name} celerity` });
      expectClose(got.ratio, expected[name]['ratio'], { rel, why: `${name} ratio` });
      const numeric = expected[name]['celerity_numeric_dQdA'];
      expectClose(got.celerityMs, numeric, { rel: tolerance.numeric_rel, why: `${name} dQ/dA` });
    }
  });

  it('jobson-traveltime: every equation for every reach', () => {
    type Speeds = { speeds: Record<string, { V: number; Tp_hours: number; T_leading_hours: number }> };
    const { data, expected, tolerance } = load<{
      data: {
        example1: Record<'Da' | 'Q_exact' | 'Qa_exact' | 'Q_rounded' | 'Qa_rounded' | 'L', number>;
        example1_with_assumed_slope: number;
        rhine_eglisau: Record<'Da' | 'Qa' | 'Q' | 'S' | 'L', number>;
      };
      expected: Record<'example1_exact_inputs' | 'example1_rounded_inputs' | 'example1_slope_0.004' | 'rhine', Speeds>;
      tolerance: { rel: number };
    }>('jobson-traveltime');
    const { example1: one, rhine_eglisau: rhine, example1_with_assumed_slope: slope } = data;
    const areaKm2 = one.Da / 1e6;
    const rounded = { areaKm2, flowM3s: one.Q_rounded, meanFlowM3s: one.Qa_rounded };
    const cases = {
      example1_exact_inputs: travelTime(one.L, { areaKm2, flowM3s: one.Q_exact, meanFlowM3s: one.Qa_exact }),
      example1_rounded_inputs: travelTime(one.L, rounded),
      'example1_slope_0.004': travelTime(one.L, { ...rounded, slope }),
      rhine: travelTime(rhine.L, { areaKm2: rhine.Da / 1e6, flowM3s: rhine.Q, meanFlowM3s: rhine.Qa, slope: rhine.S }),
    };
    for (const [name, { rows }] of Object.entries(cases)) {
      const { speeds } = expected[name as 'rhine'];
      expect(rows.length).toBe(Object.keys(speeds).length);
      for (const row of rows) {
        const want = Object.entries(speeds).find(([key]) => key.startsWith(`eq${row.equation}_`))![1];
        const { rel } = tolerance;
        expectClose(row.velocityMs, want.V, { rel, why: `${name} ${row.equation} V` });
        expectClose(row.peakHours, want.Tp_hours, { rel, why: `${name} ${row.equation} peak` });
        expectClose(row.leadingEdgeHours, want.T_leading_hours, { rel, why: `${name} ${row.equation} leading edge` });
      }
    }
  });

  it('dar-exponent and dar-jobson-example1', () => {
    const general = load<{
      data: { cases: Record<'Qg' | 'Ag' | 'Au' | 'phi', number>[] };
      expected: { Qu: number[] };
      tolerance: { rel: number };
    }>('dar-exponent');
    general.data.cases.forEach(({ Qg, Ag, Au, phi }, i) => {
      const { discharge } = areaRatio(Qg, { areaKm2: Au, gaugeAreaKm2: Ag, exponent: phi });
      expectClose(discharge, general.expected.Qu[i], { rel: general.tolerance.rel, why: `φ ${phi}` });
    });
    const example = load<{
      data: Record<'gauge_area_km2' | 'gauge_Q' | 'gauge_Qmean' | 'reach_area_km2', number>;
      expected: { Q: number; Qmean: number; published: { Q: number; Qmean: number } };
      tolerance: { published_abs: number; abs: number };
    }>('dar-jobson-example1');
    const { data, expected, tolerance } = example;
    const areas = { areaKm2: data.reach_area_km2, gaugeAreaKm2: data.gauge_area_km2 };
    for (const [flow, key] of [
      [data.gauge_Q, 'Q'],
      [data.gauge_Qmean, 'Qmean'],
    ] as const) {
      const { discharge } = areaRatio(flow, areas);
      expectClose(discharge, expected[key], { abs: tolerance.abs, why: key });
      expectClose(discharge, expected.published[key], { abs: tolerance.published_abs, why: `${key} as printed` });
    }
  });

  it('rating-threepoint-h0', () => {
    const { data, expected, tolerance } = load<{
      data: Record<'h1' | 'h2' | 'h3', number>;
      expected: { h0: number };
      tolerance: { abs: number };
    }>('rating-threepoint-h0');
    const { offset, status } = threePointOffset([data.h1, data.h2, data.h3]);
    expect(status).toBe('ok');
    expectClose(offset, expected.h0, { abs: tolerance.abs, why: 'h0' });
  });
});

import { describe, expect, it } from 'vitest';
import { createLevelLikelihood, naturalLayout } from '../../src/kernel/levelLikelihood.js';
import {
  aboveValue,
  segmentDerivatives,
  slopeAt,
  twoSegments,
  whereAbove,
} from '../../src/kernel/levelLikelihood/twoSegments.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { bruteLogLik, levelCase, type CaseVisit } from './levelCase.js';

const ln = Math.log;

/** v, ln β, ln p, ln κ, ln p₂ of a staff whose banks open at 0.3: it rises half as fast above. */
const STAFF = [30, ln(12), ln(1.6), ln(0.5), ln(2.2)];

describe('twoSegments', () => {
  it('meets itself at the break, with the slope changed by κ', () => {
    const rating = twoSegments(STAFF, 0, 0.3);
    const below = aboveValue(rating, 0.3);
    expectClose(aboveValue(rating, 0.3 + 1e-12), below, { abs: 1e-9, why: 'continuous' });
    expectClose(rating.slope / slopeAt(rating, 0.3), 0.5, { rel: 1e-14, why: 'κ' });
    expectClose(below, 12 * 1.6 * (Math.exp(0.3 / 1.6) - 1), { rel: 1e-14, why: 'by hand' });
    expectClose(aboveValue(rating, 1.4), below + rating.slope * 2.2 * (Math.exp(1.1 / 2.2) - 1), {
      rel: 1e-14,
      why: 'by hand',
    });
  });

  it('is the one power law where κ is 1 and both exponents are the same', () => {
    const rating = twoSegments([30, ln(12), ln(1.6), 0, ln(1.6)], 0, 0.3);
    for (const t of [-2, 0, 0.3, 0.31, 2])
      expectClose(aboveValue(rating, t), 12 * 1.6 * Math.expm1(t / 1.6), { rel: 1e-13, abs: 1e-13, why: `at ${t}` });
  });

  it('turns back to where it reads a number, and has no place below its offset', () => {
    const rating = twoSegments(STAFF, 0, 0.3);
    for (const t of [-3, -0.5, 0.3, 0.30001, 4])
      expectClose(whereAbove(rating, aboveValue(rating, t)), t, { rel: 1e-9, abs: 1e-9, why: `at ${t}` });
    expect(whereAbove(rating, -12 * 1.6 - 0.001)).toBeNaN();
  });

  it.each([-1.2, 0.1, 0.29, 0.6, 1.9])('has the derivatives of its value at %f', (t) => {
    const first = new Float64Array(7);
    const second = new Float64Array(49);
    const natural = (at: number, by: number): number[] => STAFF.map((v, q) => (q === at ? v + by : v));
    const value = (n: ArrayLike<number>, u: number): number => n[0] + aboveValue(twoSegments(n, 0, 0.3), u);
    const above = segmentDerivatives(twoSegments(STAFF, 0, 0.3), t, { first, second, stride: 7 });
    expectClose(above, value(STAFF, t) - 30, { rel: 1e-14, abs: 1e-12, why: 'the value itself' });
    const h = 1e-5;
    const up = new Float64Array(7);
    const down = new Float64Array(7);
    const unused = new Float64Array(49);
    const moved = (a: number, by: number, out: Float64Array): void =>
      void segmentDerivatives(twoSegments(a < 5 ? natural(a, by) : STAFF, 0, 0.3), a === 6 ? t + by : t, {
        first: out,
        second: unused,
        stride: 7,
      });
    for (const a of [0, 1, 2, 3, 4, 6]) {
      const slope =
        a === 6
          ? (value(STAFF, t + h) - value(STAFF, t - h)) / (2 * h)
          : (value(natural(a, h), t) - value(natural(a, -h), t)) / (2 * h);
      expectClose(first[a], slope, { rel: 1e-7, abs: 1e-7, why: `slope ${a}` });
      moved(a, h, up);
      moved(a, -h, down);
      for (const b of [0, 1, 2, 3, 4, 6])
        if (b >= a)
          expectClose(second[a * 7 + b], (up[b] - down[b]) / (2 * h), { rel: 1e-6, abs: 1e-6, why: `bend ${a} ${b}` });
    }
  });
});

/** Looks at a staff of two segments and at three classes, by two observers. */
function staffCase(seed: number, options: { link?: 'probit' | 'logit'; exact?: boolean } = {}) {
  const random = createRandom(seed);
  const kinds = [-3, 3];
  const rating = twoSegments(STAFF, 0, 0.3);
  const visits = Array.from({ length: 12 }, (_, i): CaseVisit => {
    const x = 2 + 0.7 * random.normal();
    const state = x + 0.2 * random.normal();
    const looks = [
      {
        feature: 0,
        observer: i % 2,
        value: STAFF[0] + aboveValue(rating, state - 2.1) + 1.5 * random.normal(),
        shift: 0,
      },
      { feature: 1, observer: (i + 1) % 2, class: state > 2.6 ? 2 : state > 1.4 ? 1 : 0, shift: 0.05 },
    ];
    return { x: i % 4 === 1 ? [x - 0.1, x, x + 0.1] : [x], slope: 0.1, looks: i % 5 === 4 ? looks.slice(0, 1) : looks };
  });
  const made = levelCase(visits, {
    kinds,
    breaks: [0.3, NaN],
    observers: 2,
    centre: 2.1,
    mean: 2,
    sd: 0.8,
    ...options,
  });
  const natural = Float64Array.from([
    ...STAFF.map((v) => v + 0.03 * random.normal()),
    ln(1.6),
    1.4,
    2.6,
    ln(0.2),
    ln(0.22),
    0.3,
    0.05,
    -0.04,
  ]);
  return { ...made, natural };
}

describe('levelLikelihood with a staff of two segments', () => {
  it('has six parameters and a place among the others', () => {
    const layout = naturalLayout(Int32Array.of(-3, 5, 0), 2);
    expect([...layout.featureStart]).toEqual([0, 6, 11]);
    expect(layout.lnSigma).toBe(15);
  });

  it.each([1, 2, 3, 4])('case %i: gradient and Hessian are those of the value', (seed) => {
    const { data, side, natural } = staffCase(seed, { link: seed % 2 === 0 ? 'logit' : 'probit', exact: seed === 3 });
    const likelihood = createLevelLikelihood(data);
    const P = natural.length;
    expect(likelihood.layout.size).toBe(P);
    const gradient = new Float64Array(P);
    const hessian = new Float64Array(P * P);
    likelihood.setNodes(natural, side);
    likelihood.derivatives(natural, side, gradient, hessian);
    const up = new Float64Array(P);
    const down = new Float64Array(P);
    const unused = new Float64Array(P * P);
    const h = 1e-6;
    for (let r = 0; r < P; r++) {
      const moved = (by: number) => natural.map((v, q) => (q === r ? v + by : v));
      const slope = (likelihood.value(moved(h), side) - likelihood.value(moved(-h), side)) / (2 * h);
      expectClose(gradient[r], slope, { rel: 1e-6, abs: 1e-6, why: `parameter ${r}` });
      likelihood.derivatives(moved(h), side, up, unused);
      likelihood.derivatives(moved(-h), side, down, unused);
      for (let q = 0; q < P; q++)
        expectClose(hessian[r * P + q], (up[q] - down[q]) / (2 * h), { rel: 1e-5, abs: 1e-4, why: `${r}, ${q}` });
    }
  });

  it.each([11, 12, 14])('case %i: agrees with Simpson’s rule on 20 000 pieces, the corner included', (seed) => {
    const { data, side, natural } = staffCase(seed, { link: seed % 2 === 0 ? 'logit' : 'probit' });
    const likelihood = createLevelLikelihood(data);
    const lnL = new Float64Array(12);
    const fresh = new Float64Array(12);
    likelihood.setNodes(natural, side);
    likelihood.derivatives(natural, side, new Float64Array(natural.length), new Float64Array(natural.length ** 2), lnL);
    likelihood.freshValue(natural, side, fresh);
    bruteLogLik(data, side, natural, { intervals: 20_000, reach: 14 }).forEach((exact, i) => {
      expectClose(lnL[i], exact, { abs: 2e-3, why: `visit ${i}: a corner costs the trapezoid rule its digits` });
      expectClose(fresh[i], exact, { abs: 1e-2, why: `visit ${i}, as draws are weighed` });
    });
  });
});

import { describe, expect, it } from 'vitest';
import { GROWING, LINE, POWER, SEGMENTS } from '../../src/kernel/levelLikelihood.js';
import { expectClose } from '../expectClose.js';
import { bruteLogLik, levelCase, richCase, type CaseVisit } from './levelCase.js';
import { look, numericDifferences } from './lookAt.js';

const ln = Math.log;
const GROSS = [0.003, 0, 0.02, 3e-4];

/** A staff of each kind with sound and nonsensical readings, read at three gauge values each, beside a class. */
const KINDS = [
  ['power law', POWER, [0.4, ln(0.6), ln(1.6), ln(0.05)]],
  ['line', LINE, [0.4, ln(0.6), ln(0.05)]],
  ['growing noise', GROWING, [0.4, ln(0.6), ln(1.6), ln(0.08)]],
  ['two power laws', SEGMENTS, [0.4, ln(0.6), ln(1.6), ln(0.6), ln(1.5), ln(0.05)]],
] as const;

const visits = [-40, -1, 0.1, 0.4, 0.75, 2, 9, 4000].flatMap((value) =>
  [-1, 0, 1.2].map((x): CaseVisit => ({
    x: [x],
    looks: [
      { feature: 0, class: x > 0.5 ? 1 : 0 },
      { feature: 1, value },
    ],
  })),
);

describe('numbers that may be grossly wrong', () => {
  it.each([
    [1, { growing: false }],
    [2, { growing: true }],
    [7, { growing: true, exact: true }],
    [8, { growing: false, link: 'logit' }],
  ] as const)('case %i: gradient and Hessian are those of the value', (seed, options) => {
    const { data, side, natural } = richCase(seed, { ...options, gross: GROSS });
    const values = data.sightingValue.map((v, j) => (j % 4 === 0 ? 10 * v : v));
    const all = look({ data: { ...data, sightingValue: values }, side }, natural);
    const worst = numericDifferences({ ...all, side }, natural);
    expect(worst.gradient).toBeLessThan(2e-8);
    expect(worst.hessian).toBeLessThan(3e-7);
  });

  it.each(KINDS)('%s: derivatives and Simpson’s rule, sound and nonsensical readings', (_, kind, rating) => {
    const natural = Float64Array.from([0.5, ln(0.2), ...rating, ln(0.2), 0, 0]);
    const input = levelCase(visits, { kinds: [2, kind], breaks: [NaN, 0.5], gross: [0, 0.004] });
    const all = look(input, natural);
    const exact = bruteLogLik(input.data, input.side, natural, { intervals: 6000, reach: 12 });
    exact.forEach((e, i) => {
      expectClose(all.visits[i], e, { abs: kind === SEGMENTS ? 5e-5 : 1e-5, why: `visit ${i}` });
      expectClose(all.fresh[i], e, { abs: 4e-3, why: `visit ${i}, as draws are weighed` });
    });
    const worst = numericDifferences({ ...all, side: input.side }, natural);
    expect(worst.gradient).toBeLessThan(1e-6);
    expect(worst.hessian).toBeLessThan(1e-5);
  });

  it.each(['probit', 'logit'] as const)(
    '%s: classes that nothing explains, by Simpson’s rule and differences',
    (link) => {
      const natural = Float64Array.from([-0.5, 0.6, ln(0.15), -0.4, 0.7, ln(0.2), ln(0.2), 0, 0]);
      const contrary = [-2, -0.5, 0.1, 1.9].flatMap((x) =>
      [0, 1, 2].flatMap((a) => [0, 1, 2].map((b) => ({ x: [x], looks: [{ feature: 0, class: a }, { feature: 1, class: b }] }))),
    ); // prettier-ignore
      const input = levelCase(contrary, { kinds: [3, 3], link, gross: [0.0034, 0.01] });
      const all = look(input, natural);
      const exact = bruteLogLik(input.data, input.side, natural, { intervals: 6000, reach: 12 });
      exact.forEach((e, i) => {
        expectClose(all.visits[i], e, { abs: 1e-5, why: `visit ${i}` });
        expectClose(all.fresh[i], e, { abs: 4e-3, why: `visit ${i}, as draws are weighed` });
      });
      const worst = numericDifferences({ ...all, side: input.side }, natural);
      expect(worst.gradient).toBeLessThan(1e-6);
      expect(worst.hessian).toBeLessThan(1e-5);
    },
  );

  it('λ = 0 is the normal noise, to the last digit', () => {
    const { data, side, natural } = richCase(3);
    const plain = look({ data, side }, natural);
    const none = look({ data: { ...data, featureGross: new Float64Array(4) }, side }, natural);
    expect([...none.hessian, ...none.visits, ...none.fresh]).toEqual([
      ...plain.hessian,
      ...plain.visits,
      ...plain.fresh,
    ]);
    const tiny = look({ data: { ...data, featureGross: new Float64Array(4).fill(1e-13) }, side }, natural);
    expectClose(tiny.logLik, plain.logLik, { abs: 1e-6, why: 'no reading here is off by six sds' });
    tiny.gradient.forEach((g, r) => expectClose(g, plain.gradient[r], { abs: 1e-4, rel: 1e-5, why: `parameter ${r}` }));
  });

  it('a nonsensical reading says λ and nothing of the state or the rating', () => {
    const natural = Float64Array.from([0.5, ln(0.2), 0.4, ln(0.6), ln(1.6), ln(0.05), ln(0.2), 0, 0]);
    const of = (looks: CaseVisit['looks']) =>
      look(levelCase([{ x: [0.3], looks }], { kinds: [2, POWER], gross: [0, 0.004] }), natural);
    const alone = of([{ feature: 0, class: 1 }]);
    const beside = of([{ feature: 0, class: 1 }, { feature: 1, value: 4000 }]); // prettier-ignore
    expectClose(beside.logLik, alone.logLik + ln(0.004), { abs: 1e-6, why: 'a factor λ' });
    [...beside.gradient].forEach((g, r) => expectClose(g, alone.gradient[r], { abs: 2e-5, why: `parameter ${r}` }));
    expect([...beside.gradient.subarray(2, 6)].every((g) => Math.abs(g) < 1e-12)).toBe(true);
  });
});

import { describe, expect, it } from 'vitest';
import { naturalLayout } from '../../src/kernel/levelLikelihood.js';
import { cellProbability, logCell } from '../../src/kernel/link.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { bruteLogLik, levelCase, richCase, type CaseLook, type CaseVisit } from './levelCase.js';
import { look, numericDifferences } from './lookAt.js';

const ln = Math.log;

const ways = (['probit', 'logit'] as const).flatMap((link) => [1, 2, 3, 4, 5].map((seed) => [link, seed] as const));

describe('levelLikelihood: derivatives', () => {
  it.each(ways)(
    '%s, case %i: gradient and Hessian are those of the value (classes, power law, line, windows, limb, biases)',
    (link, seed) => {
      const { data, side, natural } = richCase(seed, { link });
      const all = look({ data, side }, natural);
      const worst = numericDifferences({ ...all, side }, natural);
      expect(worst.gradient).toBeLessThan(2e-8);
      expect(worst.hessian).toBeLessThan(2e-7);
      // Nothing is flat by accident: every parameter that these visits touch has a slope.
      expect(all.gradient.filter((g) => g !== 0)).toHaveLength(all.P);
    },
  );

  it.each(['probit', 'logit'] as const)('%s, σ = 0: the same without the integral', (link) => {
    const { data, side, natural } = richCase(7, { link, exact: true });
    const all = look({ data, side }, natural);
    const worst = numericDifferences({ ...all, side }, natural);
    expect(worst.gradient).toBeLessThan(2e-8);
    expect(worst.hessian).toBeLessThan(2e-7);
    const { lnSigma, gamma } = all.likelihood.layout;
    expect([all.gradient[lnSigma], all.gradient[gamma]]).toEqual([0, 0]);
  });

  it('has a symmetric Hessian, and value, derivatives and visits agree', () => {
    const { data, side, natural } = richCase(3);
    const { P, hessian, visits, fresh, logLik, value, freshValue } = look({ data, side }, natural);
    for (let a = 0; a < P; a++) for (let b = 0; b < P; b++) expect(hessian[a * P + b]).toBe(hessian[b * P + a]);
    expectClose(value, logLik, { abs: 1e-12, why: 'plain products against logs' });
    expectClose(
      visits.reduce((a, b) => a + b, 0),
      logLik,
      { abs: 1e-12, why: 'visits sum to the whole' },
    );
    expectClose(
      fresh.reduce((a, b) => a + b, 0),
      freshValue,
      { abs: 1e-12, why: 'so do those of draws' },
    );
  });

  it('stays one smooth function while parameters move away from where the nodes were laid', () => {
    const { data, side, natural } = richCase(5);
    const { likelihood, gradient, value } = look({ data, side }, natural);
    // Along the gradient, second differences of the value change smoothly: no node joins or leaves.
    const along = (t: number) =>
      likelihood.value(
        natural.map((v, r) => v + (t * gradient[r]) / 50),
        side,
      );
    const bends = Array.from({ length: 9 }, (_, q) => {
      const t = 0.01 * (q - 4);
      return (along(t + 1e-3) - 2 * along(t) + along(t - 1e-3)) / 1e-6;
    });
    for (let q = 2; q < bends.length; q++)
      expectClose(bends[q] - 2 * bends[q - 1] + bends[q - 2], 0, { abs: 0.02 * Math.abs(bends[4]), why: `at ${q}` });
    expectClose(along(0), value, { abs: 1e-12, why: 'at the place itself' });
  });
});

describe('levelLikelihood: the integral', () => {
  it.each(ways)('%s, case %i: agrees with Simpson’s rule on 20 000 pieces', (link, seed) => {
    const { data, side, natural } = richCase(seed + 10, { link });
    const { visits, fresh } = look({ data, side }, natural);
    bruteLogLik(data, side, natural, { intervals: 20_000, reach: 14 }).forEach((exact, i) => {
      expectClose(visits[i], exact, { abs: 1e-6, why: `visit ${i}` });
      expectClose(fresh[i], exact, { abs: 1e-3, why: `visit ${i}, as draws are weighed` });
    });
  });

  /** One class sighting a visit: blur and mismatch add up as variances. */
  const xs = [-3, -0.3, 0.1, 0.5, 0.9, 2];
  it.each([
    [0.005, 0.2],
    [0.01, 0.2],
    [0.05, 0.2],
    [0.2, 0.2],
    [1, 0.2],
    [50, 0.2],
    [0.15, 1e-4],
    [0.15, 0.01],
    [0.15, 2],
    [0.15, 6],
  ])('blur %f, mismatch %f: closed form of one class sighting, far tails included', (s, sigma) => {
    for (const k of [0, 1, 2]) {
      const natural = [0, 1, ln(s), ln(sigma), 0, 0];
      const { visits, fresh } = look(
        levelCase(
          xs.map((x) => ({ x: [x], looks: [{ feature: 0, class: k }] })),
          { kinds: [3] },
        ),
        natural,
      );
      const total = Math.hypot(s, sigma);
      xs.forEach((x, i) => {
        const exact = logCell(k > 0 ? (k - 1 - x) / total : -Infinity, k < 2 ? (k - x) / total : Infinity, 0);
        expectClose(visits[i], exact, { abs: 1e-6, rel: 1e-6, why: `x ${x}, class ${k}` });
        expectClose(fresh[i], exact, { abs: 1e-3, why: `x ${x}, class ${k}, as draws are weighed` });
      });
    }
  });

  it('keeps three digits where the blur is hundreds of times smaller than the mismatch', () => {
    const s = 0.001;
    const natural = [0, ln(s), ln(0.5), 0, 0];
    const { visits } = look(
      levelCase(
        [-1, 0.2, 0.6].map((x) => ({ x: [x], looks: [{ feature: 0, class: 0 }] })),
        { kinds: [2] },
      ),
      natural,
    );
    [-1, 0.2, 0.6].forEach((x, i) =>
      expectClose(visits[i], logCell(-Infinity, -x / Math.hypot(s, 0.5), 0), { abs: 0.02, why: `x ${x}` }),
    );
  });

  it('closed form of a staff read on a line: a normal with βσ and η added', () => {
    const [v, beta, eta, sigma] = [40, 25, 4, 0.3];
    const xs = [0.2, 2, 3.1];
    const values = [5, 44, 90];
    const { visits, fresh } = look(
      levelCase(
        xs.map((x, i) => ({ x: [x], looks: [{ feature: 0, value: values[i], shift: 0.1 }] })),
        { kinds: [-1], centre: 2 },
      ),
      [v, ln(beta), ln(eta), ln(sigma), 0, 0.05],
    );
    const total = Math.hypot(beta * sigma, eta);
    xs.forEach((x, i) => {
      const z = (values[i] - v - beta * (x + 0.15 - 2)) / total;
      const exact = -0.5 * z * z - ln(total * Math.sqrt(2 * Math.PI));
      expectClose(visits[i], exact, { abs: 1e-6, why: `x ${x}` });
      expectClose(fresh[i], exact, { abs: 1e-3, why: `x ${x}, as draws are weighed` });
    });
  });

  it('a staff finer than anything else leaves the gauge’s own density at its reading', () => {
    const eta = 1e-5;
    const { visits } = look(levelCase([{ x: [1], looks: [{ feature: 0, value: 0.4 }] }], { kinds: [-1] }), [
      0,
      ln(0.5),
      ln(eta),
      ln(0.3),
      0,
      0,
    ]);
    // y = 0.8 by the staff; dy = 2 d(value).
    const z = (0.8 - 1) / 0.3;
    expectClose(visits[0], -0.5 * z * z - ln(0.3 * Math.sqrt(2 * Math.PI)) + ln(2), { abs: 1e-6, why: 'narrow staff' });
  });

  it('two sightings of a visit share its state: Sheppard’s orthant 1/4 + asin(ρ)/2π', () => {
    const [s, sigma] = [0.2, 0.3];
    const { visits, fresh } = look(
      levelCase([{ x: [1], looks: [0, 1].map((feature) => ({ feature, class: 0 })) }], { kinds: [2, 2] }),
      [1, ln(s), 1, ln(s), ln(sigma), 0, 0],
    );
    const rho = sigma ** 2 / (sigma ** 2 + s ** 2);
    const exact = ln(0.25 + Math.asin(rho) / (2 * Math.PI));
    expectClose(visits[0], exact, { abs: 1e-7, why: 'W. F. Sheppard 1899, the orthant of two normals' });
    expectClose(fresh[0], exact, { abs: 1e-3, why: 'as draws are weighed' });
  });

  it('averages over the nodes of a window, those without a gauge value left out', () => {
    const [s, sigma] = [0.2, 0.1];
    const x = [0.1, NaN, 0.9];
    const weights = [0.25, 0.5, 0.25];
    const { visits } = look(levelCase([{ x, weights, looks: [{ feature: 0, class: 1 }] }], { kinds: [2] }), [
      0.4,
      ln(s),
      ln(sigma),
      0,
      0,
    ]);
    const p = (at: number) => cellProbability((0.4 - at) / Math.hypot(s, sigma), Infinity, 0);
    expectClose(visits[0], ln(0.5 * p(0.1) + 0.5 * p(0.9)), { abs: 1e-7, why: 'even halves' });
  });

  it('gives a visit without a gauge value the mean and sd of all others', () => {
    const [s, sd] = [0.2, 0.8];
    const natural = [0.4, ln(s), ln(0.1), 3, 0];
    const unknown = levelCase([{ x: [NaN, NaN], slope: 2, looks: [{ feature: 0, class: 1 }] }], {
      kinds: [2],
      mean: 0.7,
      sd,
    });
    const { visits, fresh, gradient, likelihood } = look(unknown, natural);
    const exact = logCell((0.4 - 0.7) / Math.hypot(s, sd), Infinity, 0);
    expectClose(visits[0], exact, { abs: 1e-7, why: 'N(mean, sd²) in place of the gauge' });
    expectClose(fresh[0], exact, { abs: 1e-3, why: 'as draws are weighed' });
    expect([gradient[likelihood.layout.lnSigma], gradient[likelihood.layout.gamma]]).toEqual([0, 0]);
  });

  it('moves the state by the limb term times the slope; an unknown slope moves nothing', () => {
    const natural = (gamma: number) => [0.4, ln(0.2), ln(0.1), gamma, 0];
    const visit = (x: number, slope: number): CaseVisit => ({ x: [x], slope, looks: [{ feature: 0, class: 1 }] });
    const at = (x: number, slope: number, gamma: number) =>
      look(levelCase([visit(x, slope)], { kinds: [2] }), natural(gamma)).logLik;
    expectClose(at(0.1, 0.05, 2), at(0.2, 0, 2), { abs: 1e-7, why: 'x + γ·slope' });
    expect(at(0.1, NaN, 2)).toBe(at(0.1, 0.05, 0));
  });

  it('moves a sighting by its own shift and its observer’s bias', () => {
    const at = (shift: number, bias: number, x: number) =>
      look(
        levelCase([{ x: [x], looks: [{ feature: 0, class: 1, observer: 1, shift }] }], { kinds: [3], observers: 2 }),
        [0, 1, ln(0.2), ln(0.1), 0, 99, bias],
      ).logLik;
    expectClose(at(0.3, -0.1, -0.4), at(0, 0, -0.2), { abs: 1e-6, why: 'x + shift + bias' });
  });

  it('σ = 0: the cells themselves; windows averaged; a visit without a gauge value still integrated', () => {
    const visits: CaseVisit[] = [
      {
        x: [0.3],
        looks: [
          { feature: 0, class: 1 },
          { feature: 0, class: 2 },
        ],
      },
      { x: [0.1, NaN, 1.4], weights: [0.2, 0.5, 0.3], looks: [{ feature: 0, class: 1 }] },
      { x: [NaN], looks: [{ feature: 0, class: 0 }] },
    ];
    const s = 0.4;
    const case3 = levelCase(visits, { kinds: [3], exact: true, mean: 0.5, sd: 0.7 });
    const { visits: lnL, fresh } = look(case3, [0, 1, ln(s), -50, 0, 0]);
    const p = (k: number, x: number) =>
      cellProbability(k > 0 ? (k - 1 - x) / s : -Infinity, k < 2 ? (k - x) / s : Infinity, 0);
    const exact = [
      ln(p(1, 0.3) * p(2, 0.3)),
      ln(0.4 * p(1, 0.1) + 0.6 * p(1, 1.4)),
      logCell(-Infinity, -0.5 / Math.hypot(s, 0.7), 0),
    ];
    exact.forEach((e, i) => {
      expectClose(lnL[i], e, { abs: i === 2 ? 1e-6 : 1e-13, why: `visit ${i}` });
      expectClose(fresh[i], e, { abs: i === 2 ? 1e-3 : 1e-13, why: `visit ${i}, as draws are weighed` });
    });
  });

  it('is 0 for no visit at all', () => {
    const { logLik, value, freshValue, gradient } = look(levelCase([], { kinds: [3] }), [0, 1, 0, 0, 0, 0]);
    expect([logLik, value, freshValue]).toEqual([0, 0, 0]);
    expect(gradient.every((g) => g === 0)).toBe(true);
  });
});

describe('levelLikelihood: sightings that contradict the gauge or each other', () => {
  it.each(['probit', 'logit'] as const)('%s: agrees with Simpson’s rule, 10 to 100 sds apart', (link) => {
    const visits: CaseVisit[] = [-3, -1, 0.5, 2, 4].flatMap((x) => [
      {
        x: [x],
        looks: [
          { feature: 0, class: 2 },
          { feature: 0, class: 0 },
        ],
      },
      { x: [x - 0.1, x, x + 0.1], looks: [{ feature: 0, class: 1 }] },
      {
        x: [x],
        looks: [
          { feature: 0, class: 1 },
          { feature: 1, value: -20 },
          { feature: 1, value: 30 },
        ],
      },
      {
        x: [x],
        looks: [
          { feature: 2, value: 0.9 },
          { feature: 0, class: 0 },
        ],
      },
    ]);
    const input = levelCase(visits, { kinds: [3, -1, 0], link });
    const natural = Float64Array.from([
      0,
      1,
      ln(0.08),
      0,
      ln(5),
      ln(0.4),
      1,
      ln(0.6),
      ln(1.6),
      ln(0.1),
      ln(0.15),
      0,
      0,
    ]);
    const { visits: lnL, fresh, value, logLik } = look(input, natural);
    const exact = bruteLogLik(input.data, input.side, natural, { intervals: 40_000, reach: 45 });
    expect(Math.min(...exact)).toBeLessThan(-200);
    exact.forEach((e, i) => {
      expectClose(lnL[i], e, { abs: 2e-6, rel: 1e-6, why: `visit ${i}` });
      expectClose(fresh[i], e, { abs: 3e-3, why: `visit ${i}, as draws are weighed` });
    });
    expectClose(value, logLik, { abs: 1e-9, why: 'value and derivatives take the same side of underflow' });
  });

  it('agrees with Simpson’s rule in worlds drawn at random', () => {
    let contradictions = 0;
    for (let seed = 1; seed <= 25; seed++) {
      const random = createRandom(seed);
      const visits = Array.from({ length: 6 }, (_, i): CaseVisit => {
        const x = 1.5 * random.normal();
        const looks = Array.from({ length: 1 + random.integer(4) }, (): CaseLook => {
          const feature = random.integer(3);
          const saw =
            feature === 2 ? { value: 10 * random.normal() } : { class: random.integer(feature === 0 ? 5 : 2) };
          return { feature, observer: random.integer(2), shift: 0.3 * random.normal(), ...saw };
        });
        return { x: i % 2 === 0 ? [x] : [x - 0.2, x, x + 0.2], slope: 0.2 * random.normal(), looks };
      });
      const input = levelCase(visits, {
        kinds: [5, 2, -1],
        link: seed % 2 === 0 ? 'logit' : 'probit',
        observers: 2,
        sd: 1.5,
      });
      const wide = (median: number) => ln(median) + 0.6 * random.normal();
      const natural = Float64Array.from([
        ...[-1, -0.4, 0.1, 1.2].map((e) => e + 0.3 * random.normal()).sort((a, b) => a - b),
        wide(0.15),
        random.normal(),
        wide(0.15),
        random.normal(),
        wide(5),
        wide(1.5),
        wide(0.3),
        random.normal(),
        0.2 * random.normal(),
        0.2 * random.normal(),
      ]);
      const { visits: lnL, fresh } = look(input, natural);
      bruteLogLik(input.data, input.side, natural, { intervals: 10_000, reach: 38 }).forEach((e, i) => {
        if (e < -20) contradictions++;
        // Where the state is pushed beyond 38 sds the brute force ends first.
        if (e < -600) return;
        expectClose(lnL[i], e, { abs: 3e-6, rel: 1e-6, why: `seed ${seed}, visit ${i}` });
        expectClose(fresh[i], e, { abs: 4e-3, why: `seed ${seed}, visit ${i}, as draws are weighed` });
      });
    }
    expect(contradictions).toBeGreaterThan(20);
  });
});

describe('naturalLayout', () => {
  it('places features one after another, then ln σ, γ and the biases', () => {
    const layout = naturalLayout(Int32Array.of(5, 0, -1, 2), 3);
    expect([...layout.featureStart]).toEqual([0, 5, 9, 12]);
    expect([layout.lnSigma, layout.gamma, layout.bias, layout.size]).toEqual([14, 15, 16, 19]);
  });
});

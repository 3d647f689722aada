import { describe, expect, it } from 'vitest';
import { naturalLayout } from '../../src/kernel/levelLikelihood.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { bruteLogLik, levelCase, richCase, type CaseLook, type CaseVisit } from './levelCase.js';
import { look, numericDifferences } from './lookAt.js';

const ln = Math.log;
/** v, ln β, ln p, ln η; ln σ, γ, bias. The offset is v - βp = -0.56. */
const NATURAL = [0.4, ln(0.6), ln(1.6), ln(0.1), ln(0.2), 0, 0];

describe('a staff whose noise grows with the height above its offset', () => {
  it.each([
    ['probit', 1],
    ['logit', 3],
  ] as const)('%s, case %i: gradient and Hessian are those of the value', (link, seed) => {
    const { data, side, natural } = richCase(seed, { link, growing: true });
    const all = look({ data, side }, natural);
    const worst = numericDifferences({ ...all, side }, natural);
    expect(worst.gradient).toBeLessThan(2e-8);
    expect(worst.hessian).toBeLessThan(2e-7);
    const { P, hessian } = all;
    for (let a = 0; a < P; a++) for (let b = 0; b < P; b++) expect(hessian[a * P + b]).toBe(hessian[b * P + a]);
  });

  it('σ = 0: the same without the integral', () => {
    const { data, side, natural } = richCase(7, { exact: true, growing: true });
    const all = look({ data, side }, natural);
    const worst = numericDifferences({ ...all, side }, natural);
    expect(worst.gradient).toBeLessThan(2e-8);
    expect(worst.hessian).toBeLessThan(2e-7);
  });

  it.each([1, 2])('case %i: agrees with Simpson’s rule on 6 000 pieces', (seed) => {
    const { data, side, natural } = richCase(seed, { growing: true });
    const { visits, fresh } = look({ data, side }, natural);
    bruteLogLik(data, side, natural, { intervals: 6000, reach: 12 }).forEach((e, i) => {
      expectClose(visits[i], e, { abs: 2e-6, rel: 1e-6, why: `visit ${i}` });
      expectClose(fresh[i], e, { abs: 2e-3, why: `visit ${i}, as draws are weighed` });
    });
  });

  it('agrees with Simpson’s rule for readings that contradict the gauge, and for those below the offset', () => {
    const values = [-3, -0.9, -0.57, -0.56, -0.5, -0.2, 0.4, 2, 9];
    const visits = values.flatMap((value) =>
      [-2, 0, 1.5].map((x): CaseVisit => ({ x: [x], looks: [{ feature: 0, value }] })),
    );
    for (const noise of [0.02, 0.1, 0.5, 3]) {
      const natural = Float64Array.from(NATURAL);
      natural[3] = ln(noise);
      const input = levelCase(visits, { kinds: [-2] });
      const { visits: lnL, fresh } = look(input, natural);
      const exact = bruteLogLik(input.data, input.side, natural, { intervals: 5000, reach: 38 });
      if (noise === 0.02) expect(Math.min(...exact)).toBeLessThan(-200);
      exact.forEach((e, i) => {
        const why = `reading ${values[Math.floor(i / 3)]}, x ${[-2, 0, 1.5][i % 3]}, noise ${noise}`;
        expectClose(lnL[i], e, { abs: 1e-4, why });
        expectClose(fresh[i], e, { abs: 4e-3, why: `${why}, as draws are weighed` });
      });
    }
  });

  it('agrees with Simpson’s rule in worlds drawn at random', () => {
    for (let seed = 1; seed <= 6; seed++) {
      const random = createRandom(seed);
      const visits = Array.from({ length: 6 }, (_, i): CaseVisit => {
        const x = 1.5 * random.normal();
        const looks = Array.from({ length: 1 + random.integer(3) }, (): CaseLook => {
          const feature = random.integer(2);
          const saw = feature === 1 ? { value: 3 * random.normal() } : { class: random.integer(3) };
          return { feature, shift: 0.3 * random.normal(), ...saw };
        });
        return { x: i % 2 === 0 ? [x] : [x - 0.2, x, x + 0.2], looks };
      });
      const input = levelCase(visits, { kinds: [3, -2], sd: 1.5 });
      const wide = (median: number) => ln(median) + 0.6 * random.normal();
      const natural = Float64Array.from([
        -0.5,
        0.6,
        wide(0.15),
        random.normal(),
        wide(1),
        wide(1.8),
        wide(0.3),
        wide(0.3),
        0,
        0.2 * random.normal(),
      ]);
      const { visits: lnL, fresh } = look(input, natural);
      bruteLogLik(input.data, input.side, natural, { intervals: 5000, reach: 38 }).forEach((e, i) => {
        if (e < -600) return;
        // Noises of three quarters of the height occur here, and products with two tops.
        expectClose(lnL[i], e, { abs: 1e-3, why: `seed ${seed}, visit ${i}` });
        expectClose(fresh[i], e, { abs: 0.012, why: `seed ${seed}, visit ${i}, as draws are weighed` });
      });
    }
  });

  it('is the constant noise where the height is that of y0, and in proportion to it elsewhere', () => {
    // A mismatch of next to nothing: the state is the gauge value.
    const at = (kind: number, { x, value, noise }: { x: number; value: number; noise: number }): number =>
      look(levelCase([{ x: [x], looks: [{ feature: 0, value }] }], { kinds: [kind], exact: true }), [
        ...NATURAL.slice(0, 3),
        ln(noise),
        ...NATURAL.slice(4),
      ]).logLik;
    expectClose(at(-2, { x: 0, value: 0.55, noise: 0.1 }), at(0, { x: 0, value: 0.55, noise: 0.1 }), {
      abs: 1e-12,
      why: 'y = y0',
    });
    const x = 1.1;
    expectClose(at(-2, { x, value: 1.3, noise: 0.1 }), at(0, { x, value: 1.3, noise: 0.1 * Math.exp(x / 1.6) }), {
      abs: 1e-12,
      why: 'height times e^(y/p)',
    });
  });

  it('has the parameters of the power law', () => {
    expect([...naturalLayout(Int32Array.from([-2, 0, -1]), 1).featureStart]).toEqual([0, 4, 8]);
    expect(naturalLayout(Int32Array.from([-2, 0, -1]), 1).size).toBe(14);
  });
});

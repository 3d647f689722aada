import { describe, expect, it } from 'vitest';
import { findMode } from '../../src/fit/findMode.js';
import { createGridProblem, type ProblemOptions } from '../../src/fit/gridProblem.js';
import { middleEdge, toNatural } from '../../src/fit/parameters.js';
import { logPrior, WEAK_PRIORS, weakPriors } from '../../src/fit/priors.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { BARE, plainAligned, type PlainVisit } from './plainAligned.js';

const WEAK: ProblemOptions = { ...BARE, priors: 'weak', mismatch: true, bias: true };
const K = (n: number) => Array.from({ length: n }, (_, k) => `c${k}`);

/** Looks at features of two, five and six classes, and at two staffs, by two observers. */
function manyFeatures(): ReturnType<typeof plainAligned> {
  const random = createRandom(4);
  const visits = Array.from({ length: 14 }, (_, i): PlainVisit => {
    const x = 1.5 + random.normal();
    const among = (n: number) => Math.min(n - 1, Math.max(0, Math.round(x + 0.4 * random.normal())));
    return {
      x,
      slope: 0.1 * random.normal(),
      looks: [
        { saw: among(5), observer: i % 2 },
        { feature: 1, saw: among(2) },
        { feature: 2, saw: among(6), observer: 1 },
        { feature: 3, value: 1 + Math.exp((x - 1) / 1.8) + 0.1 * random.normal() },
        { feature: 4, value: 30 + 8 * x + random.normal(), observer: i % 2 },
      ],
    };
  });
  return plainAligned(visits, { features: [K(5), K(2), K(6), 'm', 'cm'], observers: 2 });
}

const LINE: ReadonlyMap<number, 'power' | 'line'> = new Map([[4, 'line']]);

describe('unconstrained parameters', () => {
  it('anchor the middle edge and walk outwards by exponentiated gaps', () => {
    expect([2, 3, 4, 5, 6, 9].map(middleEdge)).toEqual([0, 0, 1, 1, 2, 3]);
    const { plan } = createGridProblem(plainAligned([], { features: [K(5)] }), WEAK);
    const out = new Float64Array(plan.natural.size);
    // Middle edge 1 of 0…3; gaps upwards 0.5 and 2, downwards 0.25; ln s; ln σ; γ; bias.
    toNatural(plan, Float64Array.of(1, Math.log(0.5), Math.log(2), Math.log(0.25), -2, -1.5, 0.3, 0.1), out);
    [0.75, 1, 1.5, 3.5, -2, -1.5, 0.3, 0.1].forEach((v, i) =>
      expectClose(out[i], v, { abs: 1e-15, why: `natural parameter ${i}` }),
    );
  });

  it.each([
    ['weak priors, limb', { ...WEAK, limb: true, ratingForm: LINE }],
    ['weak priors, logit', { ...WEAK, link: 1 as const, ratingForm: LINE }],
    ['no priors, no mismatch', { ...BARE, bias: true, ratingForm: LINE }],
  ])('%s: gradient and Hessian of the posterior agree with central differences', (_, options) => {
    const problem = createGridProblem(manyFeatures(), options);
    const random = createRandom(8);
    const U = problem.plan.size;
    const u = problem.start(0).map((v) => v + 0.1 * random.normal());
    problem.setNodes(u, 0);
    const out = () => ({ gradient: new Float64Array(U), hessian: new Float64Array(U * U) });
    const at = out();
    const value = problem.logPosterior(u, 0, at);
    expectClose(problem.logPosterior(u, 0), value, { abs: 1e-11, why: 'value alone' });
    const h = 1e-5;
    for (const r of problem.plan.free) {
      const moved = (by: number) => u.map((v, q) => (q === r ? v + by : v));
      const slope = (problem.logPosterior(moved(h), 0) - problem.logPosterior(moved(-h), 0)) / (2 * h);
      expectClose(at.gradient[r], slope, { abs: 1e-7 * (1 + Math.abs(slope)), why: `gradient ${r}` });
      const up = out();
      const down = out();
      problem.logPosterior(moved(h), 0, up);
      problem.logPosterior(moved(-h), 0, down);
      for (const q of problem.plan.free) {
        const bend = (up.gradient[q] - down.gradient[q]) / (2 * h);
        expectClose(at.hessian[r * U + q], bend, { abs: 1e-6 * (1 + Math.abs(bend)), why: `Hessian ${r}, ${q}` });
      }
    }
  });
});

describe('priors', () => {
  const { plan } = createGridProblem(manyFeatures(), WEAK);
  const context = { centre: 1.5, scale: 1, observerSd: 0.1, numeric: new Map([[3, { low: 2, range: 3 }]]) };

  it('stand where WEAK_PRIORS says, in units of the scale', () => {
    const full = weakPriors(plan, context);
    const stage = weakPriors(plan, { ...context, scale: 0.01 });
    expect([full.mean[0], full.sd[0], stage.mean[0], stage.sd[0]]).toEqual([1.5, 2, 1.5, 0.02]);
    expectClose(Math.exp(full.mean[plan.lnSigma]), 0.35, { rel: 1e-14, why: 'median mismatch' });
    expectClose(Math.exp(stage.mean[plan.lnSigma]), 0.0035, { rel: 1e-14, why: 'median mismatch of a stage' });
    expectClose(Math.exp(full.mean[4]), WEAK_PRIORS.blur.median, { rel: 1e-14, why: 'median blur' });
    expectClose(Math.exp(full.mean[1]), WEAK_PRIORS.gap.median, { rel: 1e-14, why: 'median gap' });
    expect([full.sd[plan.bias], full.mean[plan.gamma]]).toEqual([0.1, 0]);
    // Rising water may come two hours earlier or later than falling water, whatever the gauge measures.
    expect([full.sd[plan.gamma], stage.sd[plan.gamma]]).toEqual([2, 2]);
    const staff = plan.featureStart[3];
    expect([full.mean[staff], full.sd[staff]]).toEqual([3.5, 3]);
  });

  it('widen by the width given, the observers’ spread being widened on its own grid', () => {
    const once = weakPriors(plan, context);
    const twice = weakPriors(plan, { ...context, width: 2 });
    expect([...twice.mean]).toEqual([...once.mean]);
    for (let i = 0; i < plan.size; i++) expect(twice.sd[i]).toBe(i < plan.bias ? 2 * once.sd[i] : once.sd[i]);
  });

  it('are normalised densities of the free parameters', () => {
    const { plan: bare } = createGridProblem(plainAligned([], { features: [K(2)] }), WEAK);
    const priors = weakPriors(bare, { ...context, numeric: new Map() });
    // Free: edge, ln s, ln σ, one bias; the density at the means is the product of 1/(sd√2π).
    const sds = [2, 0.7, 0.7, 0.1];
    const expected = -sds.reduce((sum, sd) => sum + Math.log(sd * Math.sqrt(2 * Math.PI)), 0);
    expectClose(logPrior(bare, priors, priors.mean), expected, { abs: 1e-12, why: 'at the means' });
    const off = priors.mean.slice();
    off[0] += 3;
    expectClose(logPrior(bare, priors, off), expected - 0.5 * 1.5 ** 2, { abs: 1e-12, why: '1.5 sds off' });
  });
});

describe('findMode', () => {
  const aligned = manyFeatures();
  const problem = createGridProblem(aligned, { ...WEAK, ratingForm: LINE });
  const mode = findMode(problem, 0, problem.start(0), { tolerance: 1e-10 });

  it('ends at a maximum with a small gradient and a positive definite precision', () => {
    expect(mode.status).toBe('converged');
    expect(mode.gradient).toBeLessThan(1e-4);
    expect(mode.factor).toBeInstanceOf(Float64Array);
    expect(Number.isFinite(mode.logEvidence)).toBe(true);
  });

  it('finds the same place from elsewhere', () => {
    const random = createRandom(3);
    for (let n = 0; n < 4; n++) {
      const from = problem.start(0).map((v, i) => (problem.plan.free.includes(i) ? v + 0.7 * random.normal() : v));
      const other = findMode(problem, 0, from, { tolerance: 1e-10 });
      expectClose(other.value, mode.value, { abs: 1e-4, why: `start ${n}` });
      mode.u.forEach((v, i) => expectClose(other.u[i], v, { abs: 2e-3, why: `start ${n}, parameter ${i}` }));
    }
  });

  it('is not held back by nodes: a staff so fine that every visit’s window is narrow', () => {
    const random = createRandom(4);
    const reads = (x: number) => 40 + 25 * Math.exp(x / 1.6);
    const visits = Array.from({ length: 30 }, (): PlainVisit => {
      const x = 1.5 * random.normal();
      return { x, looks: [{ saw: x > 0 ? 1 : 0 }, { feature: 1, value: reads(x + 0.03 * random.normal()) }] };
    });
    const fine = createGridProblem(plainAligned(visits, { features: [['low', 'high'], 'cm'] }), WEAK);
    const cold = fine.start(0);
    const warm = cold.slice();
    const staff = fine.plan.featureStart[1];
    const { centre } = fine;
    warm.set([reads(centre), Math.log(25 / 1.6) + centre / 1.6, Math.log(1.6), Math.log(0.5)], staff);
    warm[fine.plan.lnSigma] = Math.log(0.03);
    const [a, b] = [cold, warm].map((from) => findMode(fine, 0, from));
    expect([a.status, b.status]).toEqual(['converged', 'converged']);
    expectClose(a.value, b.value, { abs: 1e-3, why: 'from the cold start and from the truth' });
    expectClose(Math.exp(a.u[staff + 2]), 1.6, { rel: 0.05, why: '1/exponent' });
  });

  it('has an evidence that does not move when nothing is free to differ: prior only', () => {
    // No visit: the posterior is the prior, whose Laplace evidence is exactly 1.
    const empty = createGridProblem(plainAligned([], { features: [K(4)], observers: 0 }), { ...WEAK, bias: false });
    const prior = findMode(empty, 0, empty.start(0));
    expectClose(prior.logEvidence, 0, { abs: 1e-9, why: 'ln ∫ prior' });
  });

  it('does not move parameters that are held', () => {
    const held = createGridProblem(aligned, { ...WEAK, limb: false, bias: false, ratingForm: LINE });
    const end = findMode(held, 0, held.start(0));
    expect(end.u[held.plan.gamma]).toBe(0);
    expect([...end.u.subarray(held.plan.bias)]).toEqual([0, 0]);
  });
});

describe('starting edges', () => {
  it('ascend even where the record runs backwards', () => {
    const visits = Array.from({ length: 10 }, (_, i): PlainVisit => ({ x: -i, looks: [{ saw: Math.floor(i / 2) }] }));
    const problem = createGridProblem(plainAligned(visits, { features: [K(5)] }), WEAK);
    const edges = problem.natural(problem.start(0)).subarray(0, 4);
    for (let k = 1; k < 4; k++) expect(edges[k]).toBeGreaterThan(edges[k - 1]);
  });

  it('are finite where a class, a feature or every gauge value is missing', () => {
    const visits: PlainVisit[] = [
      { x: NaN, looks: [{ saw: 1 }] },
      { x: NaN, looks: [{ feature: 1, saw: 0 }] },
    ];
    const problem = createGridProblem(plainAligned(visits, { features: [K(5), K(3)] }), WEAK);
    expect(problem.start(0).every(Number.isFinite)).toBe(true);
    problem.setNodes(problem.start(0), 0);
    expect(Number.isFinite(problem.logPosterior(problem.start(0), 0))).toBe(true);
  });
});

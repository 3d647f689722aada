import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { findMode } from '../../src/fit/findMode.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { createGridProblem } from '../../src/fit/gridProblem.js';
import { lastingPosterior, offsetView } from '../../src/fit/lastingErrors.js';
import { quantile } from '../../src/kernel/quantile.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { BARE, plainAligned, type PlainVisit } from './plainAligned.js';

const WEAK = { ...BARE, priors: 'weak' as const, mismatch: true, bias: true };
const CLASSES = ['low', 'good', 'high'];

/** Visits every ten days, three to a flood, whose creek is off by what `error` says. */
function visitsWith(error: (i: number) => number, { count = 45, seed = 3 } = {}) {
  const random = createRandom(seed);
  const visits = Array.from({ length: count }, (_, i): PlainVisit => {
    const x = 2 * random.uniform() - 1;
    const seen = x + error(i) + 0.15 * random.normal();
    const slope = 0.1 * random.normal();
    return {
      x,
      slope,
      flood: Math.floor(i / 3),
      looks: [{ saw: [-0.4, 0.4].filter((e) => seen > e).length, observer: i % 2 }],
    };
  });
  return plainAligned(visits, { features: [CLASSES], observers: 2 });
}

const modeOf = (aligned: ReturnType<typeof plainAligned>, options = WEAK) => {
  const problem = createGridProblem(aligned, options);
  return { problem, mode: findMode(problem, 0, problem.start(0)) };
};

describe('errors that last', () => {
  it.each([
    ['without a limb term', WEAK],
    ['with one', { ...WEAK, limb: true }],
  ])('leave the fit as it is where nothing lasts, %s', (_, options) => {
    const { problem, mode } = modeOf(
      visitsWith(() => 0),
      options,
    );
    const same = lastingPosterior(mode, offsetView(problem, mode), { flood: 0, drift: 0, days: 30 })!;
    expectClose(same.logEvidence, 0, { abs: 1e-8, why: 'the same model' });
    same.shift.forEach((s) => expectClose(s, 0, { abs: 1e-8, why: 'the same mode' }));
    for (let a = 0; a < same.shift.length; a++)
      for (let b = 0; b <= a; b++) {
        const at = a * same.shift.length + b;
        expectClose(same.factor[at], mode.factor![at], { rel: 1e-8, abs: 1e-10, why: 'the same precision' });
      }
  });

  it('sees a visit as it answers when its own gauge value is moved', () => {
    const aligned = visitsWith(() => 0);
    const { problem, mode } = modeOf(aligned);
    const view = offsetView(problem, mode);
    const r = view.columns[view.columns.length - 1];
    const at = (by: number): number => {
      const moved = aligned.x.slice();
      moved[4] += by;
      // Priors lean on the mean of x, likelihoods of the other visits do not move.
      const visits = new Float64Array(45);
      createGridProblem({ ...aligned, x: moved }, { ...WEAK, centre: problem.centre }).freshLogPosterior(
        mode.u,
        0,
        visits,
      );
      return visits[4];
    };
    const step = 1e-3;
    const slope = (at(step) - at(-step)) / (2 * step);
    const bend = (at(step) - 2 * at(0) + at(-step)) / step ** 2;
    expectClose(view.w[4], -bend, { rel: 3e-3, why: 'second differences; priors move with the mean of x' });
    expectClose(r[4] * view.w[4], slope, { rel: 1e-3, why: 'central differences' });
  });

  it('are found where they are, and not where they are not', () => {
    const random = createRandom(8);
    const ofFlood = Array.from({ length: 40 }, () => 0.5 * random.normal());
    const alone = Array.from({ length: 120 }, () => 0.5 * random.normal());
    const gain = (error: (i: number) => number): number => {
      const { problem, mode } = modeOf(visitsWith(error, { count: 120 }));
      return lastingPosterior(mode, offsetView(problem, mode), { flood: 0.7, drift: 0, days: 30 })!.logEvidence;
    };
    expect(gain((i) => ofFlood[Math.floor(i / 3)])).toBeGreaterThan(5);
    expect(gain((i) => alone[i])).toBeLessThan(0);
  });

  it('widen the edges, and know how the creek stands at the end of the log', () => {
    // A creek that stands half a ln unit higher from the middle of the log on.
    const aligned = visitsWith((i) => (i < 45 ? -0.3 : 0.3), { count: 90 });
    const draws = (lasting: boolean) => fitLevels(aligned, { seed: 2, modes: ['one-reading'], lasting })['one-reading'];
    const [with_, without] = [draws(true), draws(false)];
    const width = ({ features, draws }: typeof with_): number => {
      const edge = Float64Array.from({ length: draws.count }, (_, d) => features[0].edges[2 * d]);
      return quantile(edge, 0.9) - quantile(edge, 0.1);
    };
    expect(width(with_)).toBeGreaterThan(1.2 * width(without));
    expect(without.lasting).toBeUndefined();
    expect(with_.lasting!.logBayesFactor).toBeGreaterThan(2);
    expect(quantile(with_.lasting!.atLast, 0.5)).toBeGreaterThan(0.1);
    expect(quantile(with_.lasting!.atLast, 0.9)).toBeLessThan(1);
  });
});

describe('a flood effect alone, against a cumulative probit with one random intercept (floodEffect.R)', () => {
  const {
    flood,
    x,
    class: saw,
    theta,
    beta,
    floodSd,
  } = JSON.parse(readFileSync(new URL('../reference/lasting/floodEffect.json', import.meta.url), 'utf8')) as {
    flood: number[];
    x: number[];
    class: number[];
    theta: number[];
    beta: number;
    floodSd: number;
  };
  // clmm's error of 1 and slope beta are an error of 1/beta here, part of it the flood's.
  const visits = x.map((value, i): PlainVisit => ({ x: value, flood: flood[i], looks: [{ saw: saw[i] }] }));
  const aligned = plainAligned(visits, { features: [['a', 'b', 'c', 'd']] });
  const { problem, mode } = modeOf(aligned, { ...WEAK, bias: false, priorWidth: 3 });
  const view = offsetView(problem, mode);
  const theirShare = (floodSd / beta) ** 2 / view.variance;
  const edgesAt = (share: number): Float64Array => {
    const { shift } = lastingPosterior(mode, view, { flood: share, drift: 0, days: 30 })!;
    const u = mode.u.slice();
    problem.plan.free.forEach((r, a) => (u[r] += shift[a]));
    return problem.natural(u).subarray(0, 3);
  };

  it('moves the edges to where they stand there', () => {
    theta.forEach((edge, k) => {
      const there = edge / beta;
      expectClose(edgesAt(theirShare)[k], there, {
        abs: 0.05,
        why: 'Laplace around errors of single visits and wide priors; a seventh of the standard error of an edge',
      });
      expect(Math.abs(edgesAt(theirShare)[k] - there)).toBeLessThan(Math.abs(edgesAt(0)[k] - there) + 0.02);
    });
  });

  it('holds their flood effect far likelier than none', () => {
    const evidence = (share: number) => lastingPosterior(mode, view, { flood: share, drift: 0, days: 30 })!.logEvidence;
    expect(evidence(theirShare)).toBeGreaterThan(0.5);
    const best = Math.max(...Array.from({ length: 19 }, (_, j) => evidence(j / 20)));
    expect(best - evidence(theirShare)).toBeLessThan(2.5);
  });
});

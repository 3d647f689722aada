import { describe, expect, it } from 'vitest';
import { fitCumulativeLink } from '../../src/fit/cumulativeLink.js';
import { checkedRows, type CumulativeLinkData } from '../../src/fit/cumulativeLinkData.js';
import { mixedObjective } from '../../src/fit/cumulativeLinkMixed.js';
import { cumulativeLinkProbabilities } from '../../src/fit/cumulativeLinkProbabilities.js';
import { cumulativeObjective, parameterBlocks } from '../../src/fit/cumulativeLinkRows.js';
import { linkCdf, type LinkCode } from '../../src/kernel/link.js';
import type { Objective } from '../../src/kernel/newton.js';
import { normalPdf } from '../../src/kernel/normal.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

const CLASSES = ['low', 'good', 'high'];

/** 90 rows in 6 groups from a known model, with every kind of covariate. */
function simulated(link: LinkCode, seed: number): CumulativeLinkData & { group: Int32Array } {
  const random = createRandom(seed);
  const n = 90;
  const x = Float64Array.from({ length: n }, () => random.normal());
  const z = Float64Array.from({ length: n }, () => random.integer(2));
  const w = Float64Array.from({ length: n }, () => random.uniform());
  const group = Int32Array.from({ length: n }, (_, i) => i % 6);
  const u = Float64Array.from({ length: 6 }, () => 0.7 * random.normal());
  const classIndex = Int32Array.from({ length: n }, (_, i) => {
    const p = random.uniform();
    const centre = 1.1 * x[i] + u[group[i]];
    const shrink = Math.exp(-0.4 * w[i]);
    return p < linkCdf((-0.6 + 0.3 * z[i] - centre) * shrink, link)
      ? 0
      : p < linkCdf((0.8 + 0.5 * z[i] - centre) * shrink, link)
        ? 1
        : 2;
  });
  const weights = Float64Array.from({ length: n }, (_, i) => 1 + (i % 3));
  return { classes: CLASSES, classIndex, location: { x }, nominal: { z }, scale: { w }, weights, group };
}

/** Gradient and Hessian of an objective against central differences of its value and gradient. */
function expectDerivatives(objective: Objective, p: Float64Array, { rel }: { rel: number }): void {
  const P = p.length;
  const gradient = new Float64Array(P);
  const hessian = new Float64Array(P * P);
  objective(p, gradient, hessian);
  const up = new Float64Array(P);
  const down = new Float64Array(P);
  for (let q = 0; q < P; q++) {
    const step = 1e-5;
    const high = objective(
      p.map((v, r) => (r === q ? v + step : v)),
      up,
    );
    const low = objective(
      p.map((v, r) => (r === q ? v - step : v)),
      down,
    );
    expectClose(gradient[q], (high - low) / (2 * step), { rel, abs: 1e-6, why: `gradient ${q}` });
    for (let r = 0; r < P; r++) {
      expectClose(hessian[q * P + r], (up[r] - down[r]) / (2 * step), { rel, abs: 1e-6, why: `hessian ${q}, ${r}` });
    }
  }
}

const POINT = [-0.5, 0.9, 0.25, 0.4, 0.8, 0.3];

describe.each([
  ['probit', 0],
  ['logit', 1],
] as const)('objective, %s', (link, code) => {
  it.each(['free', 'equidistant'] as const)('has exact derivatives with %s thresholds', (thresholds) => {
    const { rows } = checkedRows(simulated(code, 3), { link, thresholds });
    expect(parameterBlocks(rows).count).toBe(6);
    expectDerivatives(cumulativeObjective(rows), Float64Array.from(POINT), { rel: 1e-7 });
  });

  it.each([1, 2, 9])('with a random intercept has an exact gradient, %i nodes', (nodes) => {
    const { rows, group, groups } = checkedRows(simulated(code, 4), { link, thresholds: 'free' });
    const { objective } = mixedObjective(rows, { group: group!, groups, nodes });
    expectDerivatives(objective, Float64Array.of(...POINT, 0.8), { rel: 1e-6 });
  });

  it('with a random intercept is the integral, done by brute force', () => {
    const { rows, group, groups } = checkedRows(simulated(code, 5), { link, thresholds: 'free' });
    const sd = 0.8;
    // The likelihood of a group given v, by moving the offset; trapezoid on a fine grid.
    let brute = 0;
    for (let g = 0; g < groups; g++) {
      const own = Float64Array.from(rows.weights, (w, i) => (group![i] === g ? w : 0));
      let sum = 0;
      for (let v = -9; v <= 9; v += 0.01) {
        const shifted = { ...rows, weights: own, offset: rows.offset.map((o) => o + sd * v) };
        sum += 0.01 * normalPdf(v) * Math.exp(cumulativeObjective(shifted)(Float64Array.from(POINT)));
      }
      brute += Math.log(sum);
    }
    const p = Float64Array.of(...POINT, sd);
    const value = (nodes: number): number => mixedObjective(rows, { group: group!, groups, nodes }).objective(p);
    expectClose(value(30), brute, { abs: 1e-9, why: '30 nodes' });
    expectClose(value(9), brute, { abs: 1e-5, why: '9 nodes' });
    expectClose(value(1), brute, { abs: 0.1, why: 'Laplace' });
    // Even in the standard deviation, and the plain likelihood at zero.
    expectClose(
      mixedObjective(rows, { group: group!, groups, nodes: 9 }).objective(Float64Array.of(...POINT, -sd)),
      value(9),
      {
        rel: 1e-12,
        why: 'the sign of the standard deviation is a convention',
      },
    );
    const zero = mixedObjective(rows, { group: group!, groups, nodes: 9 }).objective(Float64Array.of(...POINT, 0));
    expectClose(zero, cumulativeObjective(rows)(Float64Array.from(POINT)), { rel: 1e-12, why: 'no random intercept' });
  });

  it('Laplace is the height and the curvature at the mode, both found numerically', () => {
    const { rows, group, groups } = checkedRows(simulated(code, 6), { link, thresholds: 'free' });
    const sd = 0.8;
    let laplace = 0;
    for (let g = 0; g < groups; g++) {
      const own = Float64Array.from(rows.weights, (w, i) => (group![i] === g ? w : 0));
      const h = (v: number): number =>
        cumulativeObjective({ ...rows, weights: own, offset: rows.offset.map((o) => o + sd * v) })(
          Float64Array.from(POINT),
        ) -
        0.5 * v * v;
      let low = -6;
      let high = 6;
      for (let pass = 0; pass < 200; pass++) {
        const third = (high - low) / 3;
        if (h(low + third) < h(high - third)) low += third;
        else high -= third;
      }
      const mode = 0.5 * (low + high);
      const d = 1e-3;
      const bend = (16 * (h(mode + d) + h(mode - d)) - h(mode + 2 * d) - h(mode - 2 * d) - 30 * h(mode)) / (12 * d * d);
      laplace += h(mode) - 0.5 * Math.log(-bend);
    }
    const { objective } = mixedObjective(rows, { group: group!, groups, nodes: 1 });
    expectClose(objective(Float64Array.of(...POINT, sd)), laplace, { abs: 1e-7, why: 'differences of fourth order' });
  });

  it('cuts out of order have no likelihood', () => {
    const { rows, group, groups } = checkedRows(simulated(code, 6), { link, thresholds: 'free' });
    const crossed = Float64Array.of(0.9, -0.5, 0, 0, 0.8, 0.3);
    expect(cumulativeObjective(rows)(crossed)).toBe(-Infinity);
    const mixed = mixedObjective(rows, { group: group!, groups, nodes: 5 });
    expect(mixed.objective(Float64Array.of(...crossed, 0.8))).toBe(-Infinity);
  });
});

describe('fitCumulativeLink', () => {
  it('recovers a simulated model within its standard errors, and the sd with many groups', () => {
    const random = createRandom(12);
    const groups = 60;
    const n = groups * 20;
    const x = Float64Array.from({ length: n }, () => random.normal());
    const group = Int32Array.from({ length: n }, (_, i) => i % groups);
    const u = Float64Array.from({ length: groups }, () => 0.6 * random.normal());
    const classIndex = Int32Array.from({ length: n }, (_, i) => {
      const y = 1.2 * x[i] + u[group[i]] + random.normal();
      return y <= -0.5 ? 0 : y <= 0.7 ? 1 : 2;
    });
    const fit = fitCumulativeLink({ classes: CLASSES, classIndex, location: { x }, group });
    expect(fit.status).toBe('converged');
    [-0.5, 0.7, 1.2, 0.6].forEach((truth, q) => {
      const { term, estimate, standardError } = fit.terms[q];
      expectClose(estimate, truth, { abs: 3.5 * standardError, why: `${term}, 3.5 standard errors` });
    });
    expect(fit.terms.map((t) => t.term)).toEqual(['low|good', 'good|high', 'x', 'random intercept']);
    const { modes } = fit.randomIntercept!;
    let agreement = 0;
    let size = 0;
    modes.forEach((m, g) => {
      agreement += m * u[g];
      size += u[g] * u[g];
    });
    expect(agreement / size).toBeGreaterThan(0.6);
  });

  it('does not care for the unit or the origin of a covariate', () => {
    const data = simulated(0, 8);
    const plain = fitCumulativeLink({ ...data, group: undefined });
    const moved = fitCumulativeLink({
      ...data,
      group: undefined,
      location: { x: data.location!.x.map((v) => 1000 * v + 5000) },
    });
    expectClose(moved.logLik, plain.logLik, { abs: 1e-8, why: 'the same model' });
    const slope = plain.terms.find((t) => t.part === 'location')!;
    const steep = moved.terms.find((t) => t.part === 'location')!;
    expectClose(1000 * steep.estimate, slope.estimate, { rel: 1e-6, why: 'a thousandth of the slope' });
    expectClose(1000 * steep.standardError, slope.standardError, { rel: 1e-6, why: 'and of its error' });
  });

  it('turns over when the classes are counted from the other end', () => {
    const data = { ...simulated(1, 9), nominal: {}, group: undefined };
    const fit = fitCumulativeLink(data, { link: 'logit' });
    const back = fitCumulativeLink(
      { ...data, classes: [...CLASSES].reverse(), classIndex: data.classIndex.map((k) => 2 - k) },
      { link: 'logit' },
    );
    expectClose(back.logLik, fit.logLik, { abs: 1e-9, why: 'the same model' });
    expectClose(back.thresholds[0], -fit.thresholds[1], { rel: 1e-6, why: 'thresholds change sign and order' });
    expectClose(back.terms[2].estimate, -fit.terms[2].estimate, { rel: 1e-6, why: 'slope changes sign' });
    expectClose(back.terms[3].estimate, fit.terms[3].estimate, { rel: 1e-6, why: 'scale stays' });
  });

  it('agrees with one intercept a group when a group has all rows: the shift goes into the thresholds', () => {
    const data = simulated(0, 10);
    const one = fitCumulativeLink({ ...data, group: new Int32Array(90) });
    expect(one.randomIntercept!.sd).toBeLessThan(1e-3);
    expectClose(one.logLik, fitCumulativeLink({ ...data, group: undefined }).logLik, {
      abs: 1e-6,
      why: 'variance zero',
    });
  });

  it('leaves out classes nobody saw', () => {
    const classes = ['none', 'low', 'never', 'high', 'also never'];
    const classIndex = Int32Array.of(1, 1, 3, 1, 3, 3, 1, 3);
    const x = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8);
    const fit = fitCumulativeLink({ classes, classIndex, location: { x } });
    expect(fit.status).toBe('converged');
    expect(fit.classesSeen).toEqual(['low', 'high']);
    expect(fit.terms[0].term).toBe('low|high');
    const p = cumulativeLinkProbabilities(fit, { location: { x: 4 } });
    expect([p[0], p[2], p[4]]).toEqual([0, 0, 0]);
    expectClose(p[1] + p[3], 1, { abs: 1e-15, why: 'the seen ones share it all' });
  });

  it('says too-few-rows with no rows, one class, or weight on one class only', () => {
    const none = fitCumulativeLink({ classes: CLASSES, classIndex: new Int32Array(0) });
    const one = fitCumulativeLink({ classes: CLASSES, classIndex: Int32Array.of(1, 1, 1) });
    const weighed = fitCumulativeLink({
      classes: CLASSES,
      classIndex: Int32Array.of(0, 1),
      weights: Float64Array.of(0, 3),
    });
    for (const fit of [none, one, weighed]) {
      expect(fit.status).toBe('too-few-rows');
      expect(fit.statusSentence).toBe('Fewer than two classes were seen: there is no threshold to estimate.');
      expect(fit.terms).toEqual([]);
      expect(fit.logLik).toBeNaN();
    }
    expect(weighed.observations).toBe(3);
  });

  it('says singular when a covariate is constant or repeated', () => {
    const data = simulated(0, 11);
    const { x } = data.location!;
    const constant = {
      classes: CLASSES,
      classIndex: data.classIndex,
      location: { x, one: new Float64Array(90).fill(1) },
    };
    expect(fitCumulativeLink(constant).status).toBe('singular');
    const twice = { classes: CLASSES, classIndex: data.classIndex, location: { x, again: x.map((v) => 2 * v) } };
    const fit = fitCumulativeLink(twice);
    expect(fit.status).toBe('singular');
    expect(fit.statusSentence).toMatch(/^Singular: the data do not determine all terms/);
    for (const term of fit.terms) expect(term.standardError).toBeNaN();
  });

  it('says iteration-limit when stopped early', () => {
    const fit = fitCumulativeLink({ ...simulated(0, 11), group: undefined }, { maxIterations: 1 });
    expect(fit.status).toBe('iteration-limit');
    expect(fit.statusSentence).toBe('The iterations ran out before the fit converged.');
  });

  it.each(['probit', 'logit'] as const)(
    'says separated, complete or in part, and not when it only looks like it: %s',
    (link) => {
      const x = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9);
      const fit = (classIndex: number[], extra = {}): string =>
        fitCumulativeLink(
          { classes: CLASSES, classIndex: Int32Array.from(classIndex), location: { x, ...extra } },
          { link },
        ).status;
      expect(fit([0, 0, 0, 1, 1, 1, 2, 2, 2])).toBe('separated');
      // One swap across one edge only: the other edge parts its classes, but one slope serves both.
      expect(fit([0, 0, 1, 0, 1, 1, 2, 2, 2])).toBe('converged');
      // A group seen in the top class only parts itself, whatever x does.
      const top = Float64Array.of(0, 0, 0, 0, 0, 1, 0, 0, 1);
      expect(fit([0, 1, 0, 1, 2, 2, 1, 2, 2], { top })).toBe('separated');
      // Two such groups at once, at both ends.
      const bottom = Float64Array.of(1, 0, 1, 0, 0, 0, 0, 0, 0);
      expect(fit([0, 1, 0, 1, 0, 2, 1, 2, 2], { top, bottom })).toBe('separated');
    },
  );

  it('is still separated with a random intercept, and finite with the ends mixed', () => {
    const x = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12);
    const group = Int32Array.of(0, 1, 2, 0, 1, 2, 0, 1, 2, 0, 1, 2);
    const classIndex = Int32Array.of(0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2);
    const fit = fitCumulativeLink({ classes: CLASSES, classIndex, location: { x }, group });
    expect(fit.status).toBe('separated');
  });

  it('gives frozen results', () => {
    const fit = fitCumulativeLink({ ...simulated(0, 11), group: undefined });
    expect(Object.isFrozen(fit)).toBe(true);
    expect(Object.isFrozen(fit.terms[0])).toBe(true);
    expect(fit.condition).toBeGreaterThan(1);
    expect(fit.gradient).toBeLessThan(1e-7);
  });

  it('runs its example', () => {
    const fit = fitCumulativeLink(
      {
        classes: ['low', 'good', 'high'],
        classIndex: Int32Array.of(0, 1, 0, 2, 1, 2),
        location: { x: Float64Array.of(1, 2, 3, 4, 5, 6) },
      },
      { link: 'logit' },
    );
    expect(fit.terms[2].estimate.toFixed(1)).toBe('1.1');
    const p = cumulativeLinkProbabilities(fit, { location: { x: 2.5 } });
    expect(p).toHaveLength(3);
    expectClose(p[0] + p[1] + p[2], 1, { abs: 1e-15, why: 'probabilities sum to 1' });
  });

  it('refuses what it cannot use, in one clear line', () => {
    const classIndex = Int32Array.of(0, 1, 2);
    const x = Float64Array.of(1, 2, 3);
    const fit =
      (over: Partial<CumulativeLinkData>, options = {}) =>
      (): unknown =>
        fitCumulativeLink({ classes: CLASSES, classIndex, ...over }, options);
    expect(fit({ classIndex: Int32Array.of(0, 3) })).toThrow(
      new RangeError('fitCumulativeLink: classIndex must be from 0 to 2, got 3 at row 1'),
    );
    expect(fit({ location: { x: Float64Array.of(1) } })).toThrow(
      new TypeError("fitCumulativeLink: location 'x' must have 3 values, got 1"),
    );
    expect(fit({ scale: { x: Float64Array.of(1, NaN, 2) } })).toThrow(
      new RangeError("fitCumulativeLink: scale 'x' must be finite, got NaN at row 1"),
    );
    expect(fit({ weights: Float64Array.of(1, -1, 1) })).toThrow(
      new RangeError('fitCumulativeLink: weights must not be negative, got -1 at row 1'),
    );
    expect(fit({ group: Int32Array.of(0) })).toThrow(
      new TypeError('fitCumulativeLink: group must have 3 values, got 1'),
    );
    expect(fit({ group: Int32Array.of(0, -1, 0) })).toThrow(
      new RangeError('fitCumulativeLink: group must not be negative, got -1 at row 1'),
    );
    expect(fit({ classIndex: Int32Array.of(0, 1, 1), location: { x } }, { thresholds: 'equidistant' })).toThrow(
      new RangeError('fitCumulativeLink: equidistant thresholds need 3 classes that were seen, got 2'),
    );
  });
});

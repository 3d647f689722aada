import { describe, expect, it } from 'vitest';
import { fitParetoTail, paretoSmooth } from '../../src/kernel/pareto.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

/** n draws of the generalised Pareto distribution, ascending, by inversion. */
function paretoDraws(n: number, k: number, scale: number, seed: number): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: n }, () => {
    const e = -Math.log(random.uniform());
    return scale * (k === 0 ? e : Math.expm1(k * e) / k);
  }).sort();
}

/** Mean and variance of z under the smoothed weights. */
function moments(z: Float64Array, logWeights: Float64Array): { mean: number; variance: number } {
  let mean = 0;
  let square = 0;
  for (let s = 0; s < z.length; s++) {
    mean += Math.exp(logWeights[s]) * z[s];
    square += Math.exp(logWeights[s]) * z[s] * z[s];
  }
  return { mean, variance: square - mean * mean };
}

function normalDraws(n: number, seed: number): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: n }, () => random.normal());
}

describe('fitParetoTail', () => {
  it.each([-0.4, 0, 0.3, 0.7, 1.2])('finds the shape and scale of exact draws, k = %f', (k) => {
    const n = 20_000;
    const fit = fitParetoTail(paretoDraws(n, k, 2.5, 7));
    // Asymptotic standard errors of maximum likelihood, to which the rule is equivalent: (1 + k)/√n and scale·√(2(1 + k)/n).
    expectClose(fit.k, k, { abs: 4 * ((1 + k) / Math.sqrt(n)), why: 'shape, 4 standard errors' });
    expectClose(fit.scale, 2.5, { abs: 4 * 2.5 * Math.sqrt((2 * (1 + k)) / n), why: 'scale, 4 standard errors' });
  });

  it('comes near the maximum of the likelihood found by brute force', () => {
    const x = paretoDraws(400, 0.5, 1, 3);
    const logLik = (k: number, scale: number): number =>
      x.reduce((sum, v) => sum - Math.log(scale) - (1 + 1 / k) * Math.log1p((k * v) / scale), 0);
    let best = { k: NaN, value: -Infinity };
    for (let k = 0.2; k < 0.9; k += 0.005) {
      for (let scale = 0.6; scale < 1.5; scale += 0.01) {
        const value = logLik(k, scale);
        if (value > best.value) best = { k, value };
      }
    }
    const fit = fitParetoTail(x);
    expectClose(fit.k, best.k, { abs: 0.03, why: 'half a standard error (0.075) of the maximum likelihood shape' });
    expect(best.value - logLik(fit.k, fit.scale)).toBeLessThan(0.2);
  });

  it('scales with the data and lives with ties at zero', () => {
    const x = paretoDraws(200, 0.4, 1, 5);
    const one = fitParetoTail(x);
    const ten = fitParetoTail(x.map((v) => 10 * v));
    expectClose(ten.k, one.k, { rel: 1e-12, why: 'the shape has no unit' });
    expectClose(ten.scale, 10 * one.scale, { rel: 1e-12, why: 'the scale has the unit of x' });
    const tied = fitParetoTail(new Float64Array([0, 0, 0, 0, 0, 0, 1, 2]));
    expect(Number.isFinite(tied.k) && Number.isFinite(tied.scale)).toBe(true);
  });

  it('has no answer without positive exceedances', () => {
    expect(fitParetoTail(new Float64Array([0, 0, 0]))).toEqual({ k: NaN, scale: NaN });
    expect(fitParetoTail(new Float64Array([1]))).toEqual({ k: NaN, scale: NaN });
  });
});

describe('paretoSmooth', () => {
  it("takes ten draws' worth of k = 1/2 into k̂, as Vehtari and others have it (Pareto Smoothed Importance Sampling, 2024)", () => {
    const logs = normalDraws(100, 12).map((v) => 0.3 * v * v);
    const raw = [...logs].sort((a, b) => a - b).map((v) => Math.exp(v - Math.max(...logs)));
    // Tail of min(S/5, 3√S) = 20 of 100 draws, above the largest outside it.
    const tail = Float64Array.from(raw.slice(80), (w) => w - raw[79]);
    const expected = (20 * fitParetoTail(tail).k + 10 * 0.5) / (20 + 10);
    expectClose(paretoSmooth(logs).k, expected, { rel: 1e-9, why: 'the formula of the paper' });
  });

  it('leaves equal weights equal', () => {
    const result = paretoSmooth(new Float64Array(100).fill(-1234));
    for (const w of result.logWeights) expectClose(w, -Math.log(100), { rel: 1e-14, why: 'each 1/100' });
    expect(result.k).toBe(-Infinity);
    expectClose(result.effective, 100, { rel: 1e-12, why: 'all of them' });
    expectClose(result.threshold, 0.5, { rel: 1e-15, why: '1 - 1/log10(100)' });
  });

  it('moves a normal to a shifted normal: known mean, variance and effective number', () => {
    // Weights e^{μz - μ²/2} make N(μ, 1) of N(0, 1); E w² = e^{μ²}, so the effective number is about S·e^{-μ²}.
    const z = normalDraws(4000, 21);
    const result = paretoSmooth(z.map((v) => 0.5 * v));
    const { mean, variance } = moments(z, result.logWeights);
    expectClose(mean, 0.5, {
      abs: 4 * Math.sqrt((1.25 * Math.exp(0.25)) / 4000),
      why: 'mean, about 4 standard errors',
    });
    expectClose(variance, 1, { abs: 0.15, why: 'variance, about 4 standard errors' });
    expectClose(result.effective, 4000 * Math.exp(-0.25), { rel: 0.05, why: 'S·e^{-μ²}' });
    expect(result.k).toBeLessThan(0.35);
    expect(result.threshold).toBe(0.7);
  });

  it('puts k̂ where the theory puts it: 1 - (narrow/wide)² for a wide target from a narrow proposal', () => {
    // w ∝ e^{c z²/2}: P(w > t) falls as t^{-1/c}, so k = c: the target's variance is 1/(1 - c).
    const z = normalDraws(40_000, 4);
    for (const [c, low, high] of [
      [0.3, 0.1, 0.45],
      [0.9, 0.7, 1.1],
    ]) {
      const { k } = paretoSmooth(z.map((v) => 0.5 * c * v * v));
      expect(k, `c = ${c}`).toBeGreaterThan(low);
      expect(k, `c = ${c}`).toBeLessThan(high);
    }
  });

  it('steadies a heavy tail: the spread of the mean over repetitions falls', () => {
    // Half normal weights e^{0.4 z²}, k = 0.8: raw weights have no variance.
    let raw = 0;
    let smooth = 0;
    for (let seed = 0; seed < 60; seed++) {
      const z = normalDraws(500, seed);
      const logs = z.map((v) => 0.4 * v * v);
      const total = logs.reduce((sum, v) => sum + Math.exp(v), 0);
      raw +=
        moments(
          z,
          logs.map((v) => v - Math.log(total)),
        ).mean ** 2;
      smooth += moments(z, paretoSmooth(logs).logWeights).mean ** 2;
    }
    // The true mean is 0.
    expect(smooth).toBeLessThan(raw);
  });

  it('keeps order, sum and the largest raw weight as a lid', () => {
    const z = normalDraws(1000, 8);
    const logs = z.map((v) => 0.35 * v * v);
    const { logWeights } = paretoSmooth(logs);
    const order = Array.from(logs.keys()).sort((i, j) => logs[i] - logs[j]);
    for (let i = 1; i < order.length; i++) {
      expect(logWeights[order[i]]).toBeGreaterThanOrEqual(logWeights[order[i - 1]]);
    }
    expectClose(
      logWeights.reduce((sum, v) => sum + Math.exp(v), 0),
      1,
      { abs: 1e-12, why: 'weights sum to 1' },
    );
    // Below the tail the ratio of weights is untouched.
    expectClose(logWeights[order[10]] - logWeights[order[0]], logs[order[10]] - logs[order[0]], {
      abs: 1e-13,
      why: 'bulk weights keep their ratios',
    });
    const shift = logs[order[0]] - logWeights[order[0]];
    expect(logWeights[order[999]] + shift).toBeLessThanOrEqual(logs[order[999]] + 1e-12);
  });

  it('only normalises when there are too few draws to fit, and says k is Infinity', () => {
    const result = paretoSmooth(new Float64Array([0, Math.log(3), -Infinity]));
    expect(result.k).toBe(Infinity);
    expectClose(result.logWeights[1], Math.log(0.75), { rel: 1e-14, why: '3/(1 + 3)' });
    expect(result.logWeights[2]).toBe(-Infinity);
    expectClose(result.effective, 1.6, { rel: 1e-14, why: '1/(1/16 + 9/16)' });
  });

  it('refuses weights that are none', () => {
    expect(() => paretoSmooth(new Float64Array([0, NaN]))).toThrow('log weights must be below Infinity, got NaN at 1');
    expect(() => paretoSmooth(new Float64Array([Infinity]))).toThrow('got Infinity at 0');
    expect(() => paretoSmooth(new Float64Array([-Infinity, -Infinity]))).toThrow('paretoSmooth: no weight is positive');
    expect(() => paretoSmooth(new Float64Array(0))).toThrow('paretoSmooth: no weight is positive');
  });
});

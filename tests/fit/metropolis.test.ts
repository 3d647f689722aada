import { describe, expect, it } from 'vitest';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { WEAK_PRIORS } from '../../src/fit/priors.js';
import type { FittedFeature } from '../../src/fit/types.js';
import { tableNormalCdf } from '../../src/kernel/normalTable.js';
import { createRandom } from '../../src/kernel/random.js';
import { choleskyFactor } from '../../src/kernel/cholesky.js';
import { expectClose } from '../expectClose.js';
import { plainAligned, type PlainVisit } from './plainAligned.js';

const CLASSES = ['low', 'good', 'high'];

/** Twelve visits by two observers who looked at the verdict and at a ledge, from a world with blur 0.15. */
function twelveVisits({ seed, mismatch }: { seed: number; mismatch: number }): PlainVisit[] {
  const random = createRandom(seed);
  return Array.from({ length: 12 }, (_, i) => {
    const x = -1.1 + 0.2 * i;
    const state = x + mismatch * random.normal();
    const look = (feature: number, edges: readonly number[]) => {
      const seen = state + 0.15 * random.normal();
      return { feature, observer: i % 2, saw: edges.filter((e) => seen > e).length };
    };
    return { x, looks: [look(0, [-0.5, 0.4]), look(1, [-0.2, 0.6])] };
  });
}

/** ln posterior written out from the model's formulas; parameters [θ1, ln gap, ln s] of both features, ln σ, b1, b2, ln ω. */
function createTarget(visits: readonly PlainVisit[]): (u: Float64Array) => number {
  const w = WEAK_PRIORS;
  const centre = visits.reduce((sum, v) => sum + (v.x as number), 0) / visits.length;
  const normal = (v: number, mean: number, sd: number) => -0.5 * ((v - mean) / sd) ** 2 - Math.log(sd);
  const NODES = 25;
  return (u) => {
    const omega = Math.exp(u[9]);
    // The spread of the observers is looked for within three sds of its prior.
    if (Math.abs(u[9] - Math.log(w.observerSd.median)) > 3 * w.observerSd.sdLn) return -Infinity;
    let total = normal(u[6], Math.log(w.mismatch.median), w.mismatch.sdLn);
    total += normal(u[7], 0, omega) + normal(u[8], 0, omega);
    total += normal(u[9], Math.log(w.observerSd.median), w.observerSd.sdLn);
    for (const f of [0, 3]) {
      total += normal(u[f], centre, w.middleSd) + normal(u[f + 1], Math.log(w.gap.median), w.gap.sdLn);
      total += normal(u[f + 2], Math.log(w.blur.median), w.blur.sdLn);
    }
    const sigma = Math.exp(u[6]);
    for (const { x, looks } of visits) {
      let integral = 0;
      for (let q = 0; q < NODES; q++) {
        const z = -4.8 + (9.6 * q) / (NODES - 1);
        let product = Math.exp(-0.5 * z * z);
        for (const { feature = 0, saw = 0, observer = 0 } of looks) {
          const f = 3 * feature;
          const y = (x as number) + sigma * z + u[7 + observer];
          const s = Math.exp(u[f + 2]);
          const above = saw < 2 ? tableNormalCdf((u[f] + (saw === 1 ? Math.exp(u[f + 1]) : 0) - y) / s) : 1;
          const below = saw > 0 ? tableNormalCdf((u[f] + (saw === 2 ? Math.exp(u[f + 1]) : 0) - y) / s) : 0;
          product *= above - below;
        }
        integral += product;
      }
      total += Math.log(Math.max(integral, 1e-300));
    }
    return total;
  };
}

/** A random walk whose steps are normal with covariance LLᵀ·2.4²/dimension; returns every kept point. */
function metropolis(
  target: (u: Float64Array) => number,
  start: Float64Array,
  { factor, steps, burn, seed }: { factor: Float64Array; steps: number; burn: number; seed: number },
): { points: Float64Array[]; accepted: number } {
  const random = createRandom(seed);
  const d = start.length;
  const stride = 2.4 / Math.sqrt(d);
  let at = start.slice();
  let value = target(at);
  let accepted = 0;
  const points: Float64Array[] = [];
  const z = new Float64Array(d);
  for (let step = 0; step < burn + steps; step++) {
    const trial = at.slice();
    for (let a = 0; a < d; a++) z[a] = random.normal();
    for (let a = 0; a < d; a++) for (let b = 0; b <= a; b++) trial[a] += stride * factor[a * d + b] * z[b];
    const reached = target(trial);
    if (Math.log(random.uniform()) < reached - value) {
      at = trial;
      value = reached;
      accepted++;
    }
    if (step >= burn) points.push(at);
  }
  return { points, accepted: accepted / (burn + steps) };
}

const meanOf = (values: ArrayLike<number>) => Array.from(values).reduce((a, b) => a + b, 0) / values.length;
const sdOf = (values: ArrayLike<number>) => {
  const mean = meanOf(values);
  return Math.sqrt(meanOf(Array.from(values, (v) => (v - mean) ** 2)));
};

/** Monte Carlo error of a chain's mean by means of 40 batches. */
function batchError(values: readonly number[]): number {
  const size = Math.floor(values.length / 40);
  return sdOf(Array.from({ length: 40 }, (_, b) => meanOf(values.slice(b * size, (b + 1) * size)))) / Math.sqrt(39);
}

const NAMES = ['θ1', 'ln gap', 'ln s', 'ledge θ1', 'ledge ln gap', 'ledge ln s', 'ln σ', 'bias 1', 'bias 2', 'ln ω'];

describe('the posterior of a small case agrees with a long run of a plain Metropolis sampler', () => {
  it.each([
    ['classes that overlap, observers who differ', { seed: 23, mismatch: 0.25 }, 'converged', 40_000],
    ['classes that do not overlap', { seed: 21, mismatch: 0.25 }, 'separated', 40_000],
  ] as const)('%s', (_, world, status, steps) => {
    const visits = twelveVisits(world);
    const { 'one-reading': fit } = fitLevels(plainAligned(visits, { features: [CLASSES, CLASSES], observers: 2 }), {
      draws: 3000,
      seed: 5,
      modes: ['one-reading'],
      lasting: false,
    });
    expect(fit.status).toBe(status);
    const D = fit.draws.count;
    const ofFeature = ({ edges, blur }: FittedFeature) => {
      const low = Float64Array.from({ length: D }, (__, d) => edges[2 * d]);
      return [low, low.map((e, d) => Math.log(edges[2 * d + 1] - e)), blur.map(Math.log)];
    };
    const ours = [
      ...ofFeature(fit.features[0]),
      ...ofFeature(fit.features[1]),
      fit.draws.mismatch.map(Math.log),
      ...[0, 1].map((o) => Float64Array.from({ length: D }, (__, d) => fit.draws.bias[2 * d + o])),
      fit.draws.observerSd.map(Math.log),
    ];
    // The walk takes its step sizes from our draws; where it goes it finds for itself.
    const means = ours.map(meanOf);
    const P = ours.length;
    const factor = new Float64Array(P * P);
    for (let a = 0; a < P; a++)
      for (let b = 0; b < P; b++)
        factor[a * P + b] = meanOf(ours[a].map((v, d) => (v - means[a]) * (ours[b][d] - means[b])));
    expect(choleskyFactor(factor, P)).toBe('ok');
    const { points, accepted } = metropolis(createTarget(visits), Float64Array.from(means), {
      factor,
      steps,
      burn: 3_000,
      seed: 9,
    });
    expect(accepted).toBeGreaterThan(0.1);
    NAMES.forEach((name, a) => {
      const chain = points.map((p) => p[a]);
      const sd = sdOf(chain);
      const error = Math.hypot(batchError(chain), sd / Math.sqrt(fit.diagnostics.effectiveDraws));
      expectClose(means[a], meanOf(chain), { abs: 4 * error, why: `mean of ${name}` });
      // The sd of a chain with an error of e·sd in its mean is known to about e/√2 of itself.
      expectClose(sdOf(ours[a]), sd, { rel: Math.max(0.12, (3 * error) / sd), why: `sd of ${name}` });
    });
  });
});

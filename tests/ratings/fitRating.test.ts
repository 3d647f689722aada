import { describe, expect, it } from 'vitest';
import { fitRating } from '../../src/ratings/fitRating.js';
import { predictRating, stageForDischarge } from '../../src/ratings/predictRating.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';

const stages = Array.from({ length: 30 }, (_, i) => 0.4 + 0.1 * i);

function noisy(curve: (h: number) => number, { sd, seed }: { sd: number; seed: number }): number[] {
  const random = createRandom(seed);
  return stages.map((h) => curve(h) * Math.exp(sd * random.normal()));
}

const TWO = { C: 2, b1: 2.4, h1: 0.1, k: 1.7, b2: 1.5, h2: 0.6 };
const twoCurve = (h: number): number => {
  const low = TWO.C * (Math.min(h, TWO.k) - TWO.h1) ** TWO.b1;
  return h <= TWO.k ? low : low * ((h - TWO.h2) / (TWO.k - TWO.h2)) ** TWO.b2;
};

describe('fitRating at its edges', () => {
  it('too few gaugings, or too few different stages', () => {
    for (const fit of [fitRating([], []), fitRating([1, 2, 3], [1, 2, 4]), fitRating([1, 1, 2, 2], [1, 1.1, 4, 4.1])]) {
      expect(fit.status).toBe('too-few-rows');
      expect(fit.statusSentence).toBe('Too few gaugings at different stages for a rating with its offset.');
      expect(fit.terms[2].estimate).toBeNaN();
      expect(predictRating(fit, [1])[0].estimate).toBeNaN();
      expect(stageForDischarge(fit, [1])[0].estimate).toBeNaN();
    }
  });

  it('an exponential has its offset at minus infinity', () => {
    const fit = fitRating(
      stages,
      noisy((h) => Math.exp(2 * h + 0.2 * h * h), { sd: 0.01, seed: 4 }),
    );
    expect(fit.status).toBe('unbounded');
    expect(fit.terms.map((t) => t.estimate)).toEqual([0, Infinity, -Infinity]);
  });

  it('gaugings that hardly bend leave the interval of the offset open below, that of b above', () => {
    const narrow = [2, 2.1, 2.2, 2.3, 2.4, 2.5, 2.6, 2.7];
    const random = createRandom(11);
    const fit = fitRating(
      narrow,
      narrow.map((h) => 5 * (h - 0.3) ** 1.8 * Math.exp(0.05 * random.normal())),
    );
    expect(['converged', 'unbounded']).toContain(fit.status);
    if (fit.status !== 'converged') throw new Error('this seed should give an offset');
    expect(fit.terms[2].lower).toBe(-Infinity);
    expect(fit.terms[2].upper).toBeLessThanOrEqual(2);
    expect(fit.terms[1].upper).toBe(Infinity);
    expect(fit.terms[0].lower).toBe(0);
  });

  it('discharge that falls with stage is no rating', () => {
    const fit = fitRating(
      stages,
      stages.map((h) => 10 / h),
    );
    expect(fit.status).toBe('not-rising');
    expect(fit.statusSentence).toBe('Discharge does not rise with stage here: there is no rating.');
  });

  it.each([
    [() => fitRating([1, 2], [1]), 'fitRating: stage has 2 values, discharge has 1; they go in pairs'],
    [() => fitRating([1, NaN], [1, 2]), 'fitRating: stage[1] must be a finite number, got NaN'],
    [() => fitRating([1, 2], [1, 0]), 'fitRating: discharge[1] must be above 0, got 0'],
    [() => fitRating([1, 2], [1, 2], { level: 1 }), 'fitRating: level must be between 0 and 1, got 1'],
    [() => fitRating([1, 2], [1, 2], { offset: 1 }), 'fitRating: offset must be below the lowest stage (1), got 1'],
    [
      () => fitRating([1, 2], [1, 2], { offset: 0, segments: 2 }),
      'fitRating: an offset can be held with one segment only; leave out offset or segments',
    ],
    [
      () => stageForDischarge(fitRating([1, 2], [1, 2]), [-1]),
      'stageForDischarge: discharges[0] must be above 0 and finite, got -1',
    ],
  ])('misuse %#', (act, message) => {
    expect(act).toThrow(new RangeError(message));
  });

  it('a stage at or below the offset has no flow and no upper end', () => {
    const fit = fitRating(
      stages,
      noisy((h) => 5 * (h - 0.3) ** 1.8, { sd: 0.03, seed: 1 }),
    );
    const [dry, low, high] = predictRating(fit, [fit.terms[2].estimate - 0.1, 0.39, 9]);
    expect(dry).toMatchObject({ estimate: 0, lower: 0, extent: 'below' });
    expect(dry.upper).toBeNaN();
    expect(low.extent).toBe('below');
    expect(high.extent).toBe('above');
    expect(Object.isFrozen(fit)).toBe(true);
  });
});

describe('properties of a rating', () => {
  const discharge = noisy((h) => 5 * (h - 0.3) ** 1.8, { sd: 0.05, seed: 2 });
  const fit = fitRating(stages, discharge);

  it('another unit of discharge moves C alone; another datum moves h0 alone', () => {
    const feet = fitRating(
      stages,
      discharge.map((q) => 35.3146667 * q),
    );
    expectClose(feet.terms[0].estimate, 35.3146667 * fit.terms[0].estimate, { rel: 1e-8, why: 'C' });
    expectClose(feet.terms[2].lower, fit.terms[2].lower, { abs: 1e-8, why: 'h0 lower' });
    const moved = fitRating(
      stages.map((h) => h + 100),
      discharge,
    );
    expectClose(moved.terms[2].estimate, fit.terms[2].estimate + 100, { abs: 1e-8, why: 'h0' });
    expectClose(moved.terms[1].upper, fit.terms[1].upper, { rel: 1e-7, why: 'b upper' });
  });

  it('a weight of 2 is the gauging twice', () => {
    const weight = stages.map((_, i) => (i === 3 ? 2 : 1));
    const weighted = fitRating(stages, discharge, { weight });
    const twice = fitRating([...stages, stages[3]], [...discharge, discharge[3]]);
    expectClose(weighted.terms[1].estimate, twice.terms[1].estimate, { rel: 1e-9, why: 'b' });
    expectClose(weighted.rss, twice.rss, { rel: 1e-9, why: 'rss' });
  });

  it('the profile interval of h0 covers as stated', () => {
    const truth = 0.3;
    let covered = 0;
    const worlds = 200;
    for (let seed = 0; seed < worlds; seed++) {
      const [, , h0] = fitRating(
        stages,
        noisy((h) => 5 * (h - truth) ** 1.8, { sd: 0.1, seed: seed + 100 }),
      ).terms;
      if (h0.lower <= truth && truth <= h0.upper) covered++;
    }
    // 0.95 less three binomial standard errors of 200.
    expect(covered / worlds).toBeGreaterThanOrEqual(0.95 - 3 * Math.sqrt((0.95 * 0.05) / worlds));
  });
});

describe('two segments', () => {
  it('comes back exactly without noise', () => {
    const fit = fitRating(stages, stages.map(twoCurve), { segments: 2 });
    expect(fit.status).toBe('converged');
    const want = [TWO.C, TWO.b1, TWO.h1, TWO.k, TWO.b2, TWO.h2];
    fit.terms.forEach(({ term, estimate }, j) => expectClose(estimate, want[j], { rel: 1e-5, why: term }));
    const { fitted } = fit;
    stages.forEach((h, i) => expectClose(fitted[i], twoCurve(h), { rel: 1e-8, why: `at ${h}` }));
  });

  it('the pieces meet, inverse and curve agree on both', () => {
    const fit = fitRating(stages, noisy(twoCurve, { sd: 0.02, seed: 5 }), { segments: 2 });
    expect(fit.status).toBe('converged');
    const [low, high] = fit.segments;
    const at = low.toStage;
    const meet = low.coefficient * (at - low.offset) ** low.exponent;
    expectClose(high.coefficient * (at - high.offset) ** high.exponent, meet, { rel: 1e-10, why: 'at the break' });
    for (const h of [0.8, 2.6]) {
      const q = predictRating(fit, [h])[0];
      const back = stageForDischarge(fit, [q.estimate])[0];
      expectClose(back.estimate, h, { rel: 1e-10, why: `back to ${h}` });
      expect(back.lower).toBeLessThan(h);
      expect(back.upper).toBeGreaterThan(h);
    }
    const broken = fit.terms[3];
    expect(broken.lower).toBeLessThanOrEqual(TWO.k);
    expect(broken.upper).toBeGreaterThanOrEqual(TWO.k);
  });

  it('evidence takes two where there are two, and one where there is one', () => {
    const two = fitRating(stages, noisy(twoCurve, { sd: 0.02, seed: 5 }), { segments: 'evidence' });
    expect(two.segments).toHaveLength(2);
    const one = fitRating(
      stages,
      noisy((h) => 5 * (h - 0.3) ** 1.8, { sd: 0.05, seed: 6 }),
      { segments: 'evidence' },
    );
    expect(one.segments).toHaveLength(1);
  });

  it('needs four gaugings on either side', () => {
    const fit = fitRating(stages.slice(0, 7), stages.slice(0, 7).map(twoCurve), { segments: 2 });
    expect(fit.status).toBe('too-few-rows');
    expect(fit.terms.map((t) => t.term)).toEqual(['C1', 'b1', 'h01', 'break', 'b2', 'h02']);
  });
});

import { describe, expect, it } from 'vitest';
import { brierParts } from '../../../src/kernel/brier.js';
import { rankedProbabilityScore } from '../../../src/kernel/rps.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';
import wilks from './rps-wilks.json' with { type: 'json' };

describe('brierParts', () => {
  it('is the ranked probability score of two classes', () => {
    // The cases of the outside check, folded to the event "class 1": of two classes both scores are one.
    const { forecast_prob: odds, observed_class: seen } = wilks.data;
    const p = odds.map(([first]) => first!);
    const o = seen.map((k) => (k === 1 ? 1 : 0));
    const rps = p.map((one, i) => rankedProbabilityScore([one, 1 - one], o[i] === 1 ? 0 : 1));
    expectClose(brierParts(p, o).score, rps.reduce((a, b) => a + b, 0) / rps.length, { rel: 1e-12, why: 'one sum' });
  });

  it('splits by hand', () => {
    // Stated 0.8 five times, four happened; stated 0.2 five times, two happened: overall 6 of 10.
    const odds = [0.8, 0.8, 0.8, 0.8, 0.8, 0.2, 0.2, 0.2, 0.2, 0.2];
    const parts = brierParts(odds, [1, 1, 1, 1, 0, 1, 1, 0, 0, 0]);
    expectClose(parts.reliability, 0.5 * 0.2 ** 2, { rel: 1e-12, why: 'only the low odds are off, by 0.2' });
    expectClose(parts.resolution, 0.5 * (0.2 ** 2 + 0.2 ** 2), { rel: 1e-12, why: '0.8 and 0.4 about 0.6' });
    expectClose(parts.uncertainty, 0.24, { rel: 1e-12, why: '0.6 × 0.4' });
    // (4·0.04 + 0.64 + 2·0.64 + 3·0.04)/10
    expectClose(parts.score, 0.22, { rel: 1e-12, why: 'the mean square by hand' });
  });

  it('sums to the score whatever the odds', () => {
    const random = createRandom(3);
    for (let world = 0; world < 50; world++) {
      const odds = Array.from({ length: 40 }, () => random.integer(11) / 10);
      const happened = odds.map((p) => (random.uniform() < p ** 2 ? 1 : 0));
      const { score, reliability, resolution, uncertainty } = brierParts(odds, happened);
      expectClose(reliability - resolution + uncertainty, score, { abs: 1e-12, why: "Murphy's identity" });
    }
    expect(brierParts([], []).score).toBeNaN();
  });
});

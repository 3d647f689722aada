import { describe, expect, it } from 'vitest';
import { chooseGauge } from '../../../src/judge/gauges/chooseGauge.js';
import { drawnSums, floodDraws, probabilityBest, probabilityBetter } from '../../../src/judge/gauges/compareScores.js';
import { createRandom } from '../../../src/kernel/random.js';
import { expectClose } from '../../expectClose.js';

/** Scores that don't depend on which other flood is left out. */
function candidate(scores: readonly number[], gauges = 1, plain = gauges === 1) {
  const own = Float64Array.from(scores);
  const F = own.length;
  return {
    plain,
    gauges,
    scores: { scores: own, without: Float64Array.from({ length: F * F }, (_, i) => own[i % F]) },
  };
}
const F = 12;
const base = new Float64Array(F).fill(1);
const draws = floodDraws(F, { seed: 3 });
const options = { base, draws, seed: 3 };
const alternating = (a: number, b: number) => Array.from({ length: F }, (_, f) => (f % 2 === 0 ? a : b));

describe('comparing scores over floods drawn anew', () => {
  it('counts who is lower in each draw', () => {
    const two = { floods: 2, count: 3, times: Int32Array.of(2, 0, 1, 1, 0, 2) };
    const sums = drawnSums([Float64Array.of(1, 4), Float64Array.of(2, 3)], two);
    expect(sums.map((s) => [...s])).toEqual([
      [2, 5, 8],
      [4, 5, 6],
    ]);
    expect(probabilityBetter(sums[0], sums[1])).toBe(0.5);
    expect(probabilityBest(sums)).toEqual([0.5, 0.5]);
  });

  it('draws as many floods as there are', () => {
    for (let b = 0; b < draws.count; b++)
      expect(draws.times.subarray(b * F, (b + 1) * F).reduce((a, c) => a + c, 0)).toBe(F);
  });
});

describe('choosing a gauge', () => {
  it('takes the best where it is clear, and its skill is its own', () => {
    const { chosen, skill, sameChoice } = chooseGauge(
      [candidate(alternating(0.9, 0.95)), candidate(alternating(0.3, 0.5))],
      options,
    );
    expect(chosen).toBe(1);
    expect(sameChoice).toBe(1);
    expectClose(skill.value!, 0.6, { abs: 1e-12, why: '1 - mean of 0.3 and 0.5' });
  });

  it('takes the simpler one where more gauges are not clearly better', () => {
    const alone = candidate(alternating(0.3, 0.5));
    expect(chooseGauge([alone, candidate(alternating(0.1, 0.69), 2)], options).chosen).toBe(0);
    expect(chooseGauge([alone, candidate(alternating(0.2, 0.4), 2)], options).chosen).toBe(1);
  });

  it('takes two gauges where they clearly beat the best single one, not a poorer single one that is only harder to beat', () => {
    const steady = candidate(alternating(0.4, 0.4));
    const wild = candidate(alternating(0.0, 0.9));
    const pair = candidate(alternating(0.35, 0.35), 2);
    expect(chooseGauge([steady, wild, pair], options).chosen).toBe(2);
  });

  it('charges for arithmetic: a gain under 0.03 of skill, or one that may be nothing, is not enough, also for one gauge times a factor', () => {
    const alone = candidate(alternating(0.4, 0.4));
    const { chosen, plain, gains } = chooseGauge([candidate(alternating(0.38, 0.38), 2), alone], options);
    expect([chosen, plain, gains[1]]).toEqual([1, 1, null]);
    expectClose(gains[0]!.value!, 0.02, { abs: 1e-12, why: '0.40 - 0.38 of a base of 1' });
    expect(chooseGauge([candidate(alternating(0.36, 0.36), 1, false), alone], options).chosen).toBe(0);
    expect(chooseGauge([candidate(alternating(0.38, 0.38), 1, false), alone], options).chosen).toBe(1);
    expect(chooseGauge([candidate(alternating(0.0, 0.72), 2), alone], options).chosen).toBe(1);
  });

  it('takes three gauges only where they clearly gain over two', () => {
    const [one, two] = [candidate(alternating(0.5, 0.5)), candidate(alternating(0.4, 0.4), 2)];
    expect(chooseGauge([one, two, candidate(alternating(0.38, 0.38), 3)], options).chosen).toBe(1);
    expect(chooseGauge([one, two, candidate(alternating(0.36, 0.36), 3)], options).chosen).toBe(2);
  });

  it('takes what needs arithmetic where no plain gauge says anything', () => {
    const useless = candidate(alternating(1.0, 1.0));
    expect(chooseGauge([useless, candidate(alternating(0.6, 0.7), 2)], options).chosen).toBe(1);
    expect(chooseGauge([candidate(alternating(0.6, 0.7), 2)], options)).toMatchObject({ chosen: 0, plain: -1 });
  });

  it('takes none where the best is not clearly better than the logged frequencies', () => {
    const { chosen, skill } = chooseGauge(
      [candidate(alternating(0.5, 1.48)), candidate(alternating(1.1, 1.2))],
      options,
    );
    expect(chosen).toBe(-1);
    expect(skill.value).toBe(0);
    expect(skill.i80).toEqual([0, 0]);
  });

  it('states the skill of what would have been chosen without each flood: luck does not count', () => {
    // A gauge that shines in two floods and is worse than nothing in the ten others.
    const lucky = candidate([-20, -20, ...new Array<number>(F - 2).fill(1.05)]);
    const { chosen, chosenWithout, skill, sameChoice } = chooseGauge([lucky], options);
    // As scored it would be far better than nothing; as stated it is not.
    expect(chosen).toBe(-1);
    // Without one of the two, draws without the other are too many for a clear win: nothing is chosen.
    expect([...chosenWithout]).toEqual([-1, -1, ...new Array<number>(F - 2).fill(0)]);
    expectClose(sameChoice!, 10 / 12, { abs: 1e-12, why: 'ten of twelve' });
    expectClose(skill.value!, 1 - (2 + 10 * 1.05) / F, { abs: 1e-12, why: 'as scored it would be 1 + 29.5/12' });
  });

  it('is not taken in by the best of many that know nothing', () => {
    const random = createRandom(11);
    let best = 0;
    let stated = 0;
    const rounds = 60;
    for (let r = 0; r < rounds; r++) {
      const many = Array.from({ length: 10 }, () => candidate(Array.from(base, () => 1 + 0.3 * random.normal())));
      best += 1 - Math.min(...many.map((c) => c.scores.scores.reduce((a, b) => a + b, 0))) / F;
      stated += chooseGauge(many, { ...options, draws: floodDraws(F, { seed: r, count: 200 }) }).skill.value!;
    }
    expect(best / rounds).toBeGreaterThan(0.1);
    // sd of a round's stated skill is about 0.09; of the mean of 60, 0.012.
    expect(Math.abs(stated / rounds)).toBeLessThan(0.04);
  });
});

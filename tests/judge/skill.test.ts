import { describe, expect, it } from 'vitest';
import type { LeftOut } from '../../src/judge/leaveFloodOut.js';
import { expandedTail, floodScores, skillOf } from '../../src/judge/skill.js';
import { verdictCases } from '../../src/judge/verdictCases.js';
import { createRandom } from '../../src/kernel/random.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { expectClose } from '../expectClose.js';
import { DAY, syntheticAligned } from './syntheticRelation.js';

const THREE = ['low', 'good', 'high'];

function leftOut(odds: readonly (readonly number[])[], saws: number[], floods: number[], days?: number[]): LeftOut {
  const cases = verdictCases(
    syntheticAligned(
      saws.map((saw, i) => ({ x: 0, saw, flood: floods[i], timeMs: (days?.[i] ?? i * 100) * DAY })),
      { classes: THREE },
    ),
  );
  return {
    kind: 'left-out',
    cases,
    probability: Float64Array.from(odds.flat()),
    unmatchedShare: 0,
    floods: [...new Set(floods)].map((flood) => ({ flood, visits: 1, paretoK: 0 })),
    worstParetoK: 0,
    undependableShare: 0,
  };
}

describe('skillOf', () => {
  it('sums the ranked probability score per flood (Wilks’s example: 0.73 and 0.89)', () => {
    // Wilks, Statistical Methods in the Atmospheric Sciences, as in the example of the R package verification (rps): class 1 occurs.
    const left = leftOut(
      [
        [0.2, 0.5, 0.3],
        [0.2, 0.3, 0.5],
        [0, 1, 0],
      ],
      [0, 0, 1],
      [4, 4, 7],
    );
    const { chart } = floodScores(left);
    expectClose(chart[0], 0.73 + 0.89, { abs: 1e-12, why: 'both in one flood' });
    expect(chart[1]).toBe(0);
  });

  it('is 1 for certain and right odds, and 1 - ours/theirs by hand', () => {
    const sure = leftOut(
      [
        [1, 0, 0],
        [0, 0, 1],
      ],
      [0, 2],
      [0, 1],
    );
    const skill = skillOf(sure, { seed: 1 })!;
    expect(skill.againstFrequencies.value).toBe(1);
    expect(skill.againstFrequencies.i80).toEqual([1, 1]);
    // Base of each: the other one's class and a half each: (0.5, 0.5, 1.5)/2.5. RPS of seeing class 0: 0.8² + 0.6² = 1.
    const half = skillOf(
      leftOut(
        [
          [0.5, 0.5, 0],
          [1, 0, 0],
        ],
        [0, 0],
        [0, 1],
      ),
      { seed: 1 },
    )!;
    // Now the base is (1.5, 0.5, 0.5)/2.5 for both: 0.4² + 0.2² = 0.2 each; ours 0.25 and 0.
    expectClose(half.againstFrequencies.value!, 1 - 0.25 / 0.4, { abs: 1e-12, why: 'by hand' });
  });

  it('the month base knows the season: where it explains all, nothing is left to gain', () => {
    const saws = Array.from({ length: 40 }, (_, i) => (i % 2 === 0 ? 0 : 2));
    // Low in January, high in July, twenty years; odds as good as the season's.
    const days = saws.map((saw, i) => 365.2425 * Math.floor(i / 2) + (saw === 0 ? 10 : 190));
    const odds = saws.map((saw) => (saw === 0 ? [0.85, 0.05, 0.1] : [0.1, 0.05, 0.85]));
    const skill = skillOf(
      leftOut(
        odds,
        saws,
        saws.map((_, i) => i),
        days,
      ),
      { seed: 1 },
    )!;
    expect(skill.againstFrequencies.value).toBeGreaterThan(0.9);
    expect(skill.againstMonth.value).toBeLessThan(0.2);
  });

  it('gives the same interval for the same seed, another for another, and none for one flood', () => {
    const random = createRandom(5);
    const saws = Array.from({ length: 30 }, () => random.integer(3));
    const odds = saws.map((saw) => THREE.map((_, k) => (k === saw ? 0.6 : 0.2)));
    const left = leftOut(
      odds,
      saws,
      saws.map((_, i) => Math.floor(i / 3)),
    );
    expect(skillOf(left, { seed: 1 })).toEqual(skillOf(left, { seed: 1 }));
    expect(skillOf(left, { seed: 1 })).not.toEqual(skillOf(left, { seed: 2 }));
    const { value, i80 } = skillOf(left, { seed: 1 })!.againstFrequencies;
    const [from, to] = i80;
    expect(from!).toBeLessThan(value!);
    expect(to!).toBeGreaterThan(value!);
    const single = skillOf(
      leftOut(
        odds,
        saws,
        saws.map(() => 0),
      ),
      { seed: 1 },
    )!;
    expect(single.againstFrequencies.i80).toEqual([null, null]);
  });

  it('widens the percentiles for few floods', () => {
    // Student's t, 0.9 quantile: 1.4149 with 7 degrees of freedom, 1.3450 with 14 (any printed table).
    expectClose(expandedTail(8), normalCdf(-Math.sqrt(8 / 7) * 1.4149), { abs: 2e-5, why: '8 floods' });
    expectClose(expandedTail(15), normalCdf(-Math.sqrt(15 / 14) * 1.345), { abs: 2e-5, why: '15 floods' });
    expectClose(expandedTail(1e9), 0.1, { abs: 1e-8, why: 'no change with very many' });
  });

  it('is null without a verdict', () => {
    expect(skillOf({ ...leftOut([], [], []), floods: [] }, { seed: 1 })).toBeNull();
  });

  it('follows 1 - √(1 - ρ²) for a normal creek: the meaning that the grades rest on', () => {
    // CRPS of N(μ, σ²) forecasts with true spread σ is σ/√π (Gneiting & Raftery 2007, J. Amer. Statist. Assoc. 102, 359-378, from memory);
    // RPS over many classes is its discrete form. 9 classes, 4000 visits.
    const random = createRandom(8);
    const cuts = [-1.22, -0.76, -0.43, -0.14, 0.14, 0.43, 0.76, 1.22];
    for (const rho of [0.5, 0.8, 0.92]) {
      const saws: number[] = [];
      const odds: number[][] = [];
      const sd = Math.sqrt(1 - rho * rho);
      for (let i = 0; i < 4000; i++) {
        const gauge = random.normal();
        const creek = rho * gauge + sd * random.normal();
        saws.push(cuts.filter((c) => c < creek).length);
        const upTo = [...cuts.map((c) => normalCdf((c - rho * gauge) / sd)), 1];
        odds.push(upTo.map((p, k) => p - (k > 0 ? upTo[k - 1] : 0)));
      }
      const cases = verdictCases(
        syntheticAligned(
          saws.map((saw, i) => ({ x: 0, saw, flood: i, timeMs: 0 })),
          { classes: [...'abcdefghi'] },
        ),
      );
      const left: LeftOut = {
        kind: 'left-out',
        cases,
        probability: Float64Array.from(odds.flat()),
        unmatchedShare: 0,
        floods: saws.map((_, flood) => ({ flood, visits: 1, paretoK: 0 })),
        worstParetoK: 0,
        undependableShare: 0,
      };
      const { chart, frequencies } = floodScores(left);
      const total = (v: Float64Array) => v.reduce((a, b) => a + b, 0);
      expectClose(1 - total(chart) / total(frequencies), 1 - sd, { abs: 0.04, why: `ρ = ${rho}` });
    }
  });
});

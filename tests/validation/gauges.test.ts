import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { GaugeTally } from '../../tools/gauges/tallyGauges.js';

const { plans } = JSON.parse(readFileSync(new URL('../../validation/gauges.json', import.meta.url), 'utf8')) as {
  plans: ({ kind: string; visits: number; noise: number } & GaugeTally)[];
};

/** What `npm run simulate -- gauges` found; its small twin is in tests/judge/gauges. */
describe('choosing among many gauges', () => {
  it('ten that share only the seasons beat the right one in at most 5 % of 200 logs', () => {
    const right = plans.filter((p) => p.kind === 'right');
    expect(right.map((p) => [p.visits, p.noise, p.worlds])).toEqual([
      [40, 10, 200],
      [20, 10, 200],
    ]);
    for (const p of right) expect(p.noiseChosen).toBeLessThanOrEqual(0.05);
    // By score alone one of ten wins a little more often in a log of twenty visits; the rule is there for that.
    expect(right[0].noiseFirst).toBeLessThanOrEqual(0.05);
    expect(right[1].noiseFirst).toBeLessThanOrEqual(0.1);
    expect(right[0].rightChosen + right[0].combinedChosen).toBeGreaterThan(0.9);
  });

  it('where no gauge knows the creek, the best of many claims a skill and the stated one does not', () => {
    const none = plans.find((p) => p.kind === 'none')!;
    expect(none.statedSkill).toBeLessThan(none.bestSkill);
    expect(none.statedSkill).toBeLessThanOrEqual(0.02);
    expect(none.bestSkill).toBeGreaterThan(0.1);
    expect(none.nothingChosen).toBeGreaterThan(0.8);
  });

  it('where the creek is the mean of two, their mean is chosen more often than not', () => {
    expect(plans.find((p) => p.kind === 'two')!.combinedChosen).toBeGreaterThan(0.5);
  });
});

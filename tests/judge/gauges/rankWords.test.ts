import { describe, expect, it } from 'vitest';
import { confirmReason } from '../../../src/judge/gauges/rankWords.js';
import type { Skill } from '../../../src/judge/types.js';

const skillOf = (value: number, low: number | null, high: number): Skill => ({
  againstFrequencies: { value, i80: [low, high] },
  againstMonth: { value, i80: [low, high] },
});
const gauge = { creekLeads: 0.73, lagHours: -6, atLead: null };

describe('why a gauge is ranked apart', () => {
  it.each([
    [skillOf(0.4, 0.2, 0.5), ": it only confirms afterwards, so don't plan by it."],
    [
      skillOf(0.1, -0.1, 0.3),
      ": it only confirms afterwards, so don't plan by it. Its skill could be luck: the interval reaches 0.",
    ],
    [skillOf(-0.01, -0.2, 0.3), ', and afterwards too it says no more than how often each class was logged.'],
  ])('says what its reading afterwards is worth', (skill, words) => {
    expect(confirmReason({ ...gauge, skill }, { leadHours: 0 })).toBe(
      `The creek leads it by about 6 hours (probability 73 %)${words}`,
    );
  });

  it('and what the reading before going is', () => {
    const atLead = skillOf(-0.07, -0.22, 0.16);
    expect(confirmReason({ ...gauge, atLead, skill: skillOf(0.4, 0.2, 0.5) }, { leadHours: 2 })).toMatch(
      / Read 2 hours before going it has a skill of −0\.07 \(−0\.22 to 0\.16\)\.$/,
    );
    expect(confirmReason({ ...gauge, atLead, skill: skillOf(0.4, 0.2, 0.5) }, { leadHours: 0 })).toContain(
      ' What it says at the moment of looking has a skill of −0.07',
    );
  });
});

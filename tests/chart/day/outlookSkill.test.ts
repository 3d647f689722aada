import { describe, expect, it } from 'vitest';
import { outlookSkill } from '../../../src/chart/day/outlookSkill.js';
import { createRandom } from '../../../src/kernel/random.js';
import { makeRecord } from '../../align/makeRecord.js';
import { stepLevel } from './stepLevel.js';

/** Three years of floods of one shape; `gap` draws the hours between their starts. */
function floods(gap: () => number): readonly number[] {
  const hours: number[] = [];
  while (hours.length < 3 * 365 * 24) {
    const length = gap();
    for (let t = 0; t < length; t++) hours.push(t < 6 ? 4 * 8 ** (t / 6) : 4 + 28 * 0.985 ** (t - 6));
  }
  return hours;
}

describe('outlookSkill', () => {
  it('knows the recession of floods that come at random hours, better than the season and than no change', () => {
    const random = createRandom(2);
    const skill = outlookSkill(stepLevel(), makeRecord(floods(() => 150 + random.integer(200))))!;
    const at = (hours: number) => skill.leads.find((lead) => lead.hours === hours)!;
    for (const hours of [6, 12]) {
      expect(at(hours).againstSeason.i80[0]).toBeGreaterThan(0.4);
      expect(at(hours).rps.outlook).toBeLessThan(at(hours).rps.persistence);
    }
    expect(at(3).againstSeason.value).toBeGreaterThan(at(72).againstSeason.value);
    expect(skill.usefulHours).toBeGreaterThanOrEqual(12);
    for (const { good } of skill.leads) expect(good.score).toBeLessThanOrEqual(1);
  });

  it('finds no lead at which water that jumps every three hours can be told from its season', () => {
    const random = createRandom(4);
    let value = 15;
    const jumps = Array.from({ length: 2 * 365 * 24 }, (_, h) =>
      h % 3 === 0 ? (value = 15 * Math.exp(0.6 * random.normal())) : value,
    );
    const skill = outlookSkill(stepLevel(), makeRecord(jumps));
    if (skill !== null) {
      expect(skill.leads.every(({ againstSeason }) => againstSeason.value < 0.1)).toBe(true);
      expect(skill.usefulHours ?? 0).toBeLessThanOrEqual(6);
    }
  });

  it('says nothing where no year can be held out', () => {
    expect(outlookSkill(stepLevel(), makeRecord([]))).toBeNull();
    const random = createRandom(2);
    const short = floods(() => 150 + random.integer(200)).slice(0, 150 * 24);
    expect(outlookSkill(stepLevel(), makeRecord(short))).toBeNull();
  });
});

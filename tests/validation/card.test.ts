import { describe, expect, it } from 'vitest';
import { alignVisits } from '../../src/align/alignVisits.js';
import { gaugeChart } from '../../src/chart/creekChart.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { judgeRelation } from '../../src/judge/judgeRelation.js';
import { cardOnRecord } from '../../tools/validate/cardOnRecord.js';
import { probitPlace } from '../../tools/validate/probitPlace.js';
import { classAt, realisticWorld } from '../../tools/realistic/realisticWorld.js';
import { expectClose } from '../expectClose.js';

describe('the place of a probit line', () => {
  it('is where half lie above: symmetrical moments, weighted moments, and none where all lie on one side', () => {
    const moments = [-2, -1, -0.2, 0.2, 1, 2].map((x) => ({ x: 3 + x, above: x > 0, weight: 1 }));
    const mixed = [...moments, { x: 2.5, above: true, weight: 1 }, { x: 3.5, above: false, weight: 1 }];
    expectClose(probitPlace(mixed, 1), 3, { abs: 1e-6, why: 'the moments lie alike on both sides of 3' });
    const heavy = mixed.map((one) => (one.x === 2.5 ? { ...one, weight: 3 } : one));
    expect(probitPlace(heavy, 1)).toBeLessThan(2.98);
    // R 4.2.2: f <- glm(above ~ x, binomial("probit"), weights = w); -coef(f)[1] / coef(f)[2]
    expectClose(probitPlace(heavy, 1), 2.459533544, { abs: 1e-5, why: 'glm of R, probit link' });
    expect(
      probitPlace(
        moments.filter(({ above }) => above),
        1,
      ),
    ).toBeNaN();
  });
});

describe('a printed card on later hours', () => {
  const world = realisticWorld({ visits: 60, seed: 3 });
  const aligned = alignVisits(world);
  const fits = fitLevels(aligned, { seed: 3, draws: 300 });
  const { creek, run, record } = world;
  const judgement = judgeRelation({ run, record, aligned, fits }, { seed: 3, timeZone: 'UTC' });
  const { level } = gaugeChart({ run, record, aligned, fits, judgement }, creek);
  const card = (came: (timeMs: number) => number) =>
    cardOnRecord(
      { level: level!, grade: 'fair guide', record, aligned },
      { timesMs: world.laterMs, classIndex: Int32Array.from(world.laterMs, came) },
    )!;
  const met = card((timeMs) => classAt(world, timeMs));

  it('has the skill, both directions and every edge, as drawn and for all hours, by season', () => {
    expect(met.edges.asDrawn.length).toBe(4);
    for (const { skill, higher, lower } of Object.values(met.met)) {
      expect(skill).toBeGreaterThan(-1);
      for (const { odds, met: seen } of [higher, lower])
        for (const p of [odds, seen]) expect(p >= 0 && p <= 1).toBe(true);
    }
    expect(met.met.whenItRuns.hours).toBeLessThan(met.met.allHours.hours);
    expect(met.bySeason.length).toBeGreaterThan(1);
    const hours = met.bySeason.reduce((sum, season) => sum + season.hours, 0);
    expect(hours).toBe(met.met.allHours.hours);
  });

  it('notices a creek that stands a class higher than the card says, and one that stands lower', () => {
    const moved = (by: number) => card((timeMs) => Math.min(4, Math.max(0, classAt(world, timeMs) + by)));
    expect(moved(1).met.allHours.higher.met).toBeGreaterThan(met.met.allHours.higher.met + 0.2);
    expect(moved(-1).met.allHours.lower.met).toBeGreaterThan(met.met.allHours.lower.met + 0.05);
    expect(moved(1).met.allHours.skill!).toBeLessThan(met.met.allHours.skill!);
    // Edges printed too high are the unsafe ones.
    const errors = (of: typeof met) => of.edges.allHours.flatMap(({ error }) => error ?? []);
    const mean = (of: readonly number[]) => of.reduce((a, b) => a + b, 0) / of.length;
    expect(mean(errors(moved(1)))).toBeGreaterThan(mean(errors(met)) + 0.1);
  });
});

import { describe, expect, it } from 'vitest';
import { FEWEST_FLOODS_ASIDE, shiftOf, STEP_PRIOR_SD } from '../../src/judge/shift.js';
import { normalCdf } from '../../src/kernel/normal.js';
import { fitLevels } from '../../src/fit/fitLevels.js';
import { simulateHistory } from '../../tools/shift/simulateHistory.js';
import { tallyShift } from '../../tools/shift/tallyShift.js';
import { expectClose } from '../expectClose.js';
import { DAY, syntheticAligned, syntheticFit } from './syntheticRelation.js';

const THREE = ['low', 'good', 'high'];
const draw = { edges: [1, 2], mismatch: 0.3, blur: 0.2 };

/** Visits right at the edges whose words tell a state off by `step` in the second half. */
function history(floods: number, { step = 0, perFlood = 1 }: { step?: number; perFlood?: number } = {}) {
  return Array.from({ length: floods * perFlood }, (_, i) => {
    const flood = Math.floor(i / perFlood);
    const x = 0.6 + 1.8 * ((flood * 0.618034) % 1);
    const c = x + (flood >= floods / 2 ? step : 0);
    return { x, saw: c < 1 ? 0 : c < 2 ? 1 : 2, flood, timeMs: i * 10 * DAY };
  });
}

describe('shiftOf', () => {
  it('asks for a prior strictly between 0 and 1', () => {
    const aligned = syntheticAligned(history(4), { classes: THREE });
    for (const prior of [0, 1, NaN])
      expect(() => shiftOf(syntheticFit(aligned, [draw]), aligned, { prior })).toThrow('prior must be between 0 and 1');
  });

  it('is the brute-force sum over gap, size and draw', () => {
    const visits = history(9, { step: 0.6 });
    const aligned = syntheticAligned(visits, { classes: THREE });
    const draws = [
      draw,
      { edges: [1.1, 1.9], mismatch: 0.2, blur: 0.25 },
      { edges: [0.8, 2.1], mismatch: 0.5, blur: 0.1 },
    ];
    const fit = syntheticFit(aligned, draws);
    const found = shiftOf(fit, aligned);

    const deltas = Array.from({ length: 61 }, (_, k) => (k - 30) * 0.05);
    const weightOf = deltas.map((d) => Math.exp(-0.5 * (d / STEP_PRIOR_SD) ** 2));
    const weights = weightOf.map((w) => w / weightOf.reduce((a, b) => a + b));
    const plain = (d: number, i: number, delta: number) => {
      const { edges, mismatch, blur } = draws[d];
      const sd = Math.hypot(mismatch, blur);
      const upTo = (k: number) => (k < 0 ? 0 : k > 1 ? 1 : normalCdf((edges[k] - visits[i].x - delta) / sd));
      return upTo(visits[i].saw) - upTo(visits[i].saw - 1);
    };
    const firm = (d: number, i: number, delta: number) =>
      0.98 * plain(d, i, delta) + (0.02 * deltas.reduce((sum, other) => sum + plain(d, i, other), 0)) / 61;
    let none = 0;
    let step = 0;
    draws.forEach((_, d) => {
      const ratio = (deltaOf: (i: number) => number) =>
        visits.reduce((product, _v, i) => (product * firm(d, i, deltaOf(i))) / plain(d, i, 0), 1);
      none += ratio(() => 0);
      for (let gap = FEWEST_FLOODS_ASIDE; gap <= 9 - FEWEST_FLOODS_ASIDE; gap++)
        deltas.forEach((delta, k) => {
          const a = -0.05 * Math.round(((9 - gap) / 9) * (k - 30));
          step += (weights[k] / 4) * ratio((i) => (i < gap ? a : a + delta));
        });
    });
    expectClose(found.logBayesFactor!, Math.log(step / none), { abs: 1e-6, why: 'plain sums' });
    expectClose(found.probability!, step / (step + none), { abs: 1e-6, why: 'even prior odds' });
    const doubtful = shiftOf(fit, aligned, { prior: 0.1 }).probability!;
    expectClose(doubtful, step / (step + 9 * none), { abs: 1e-6, why: 'prior 0.1' });
  });

  it('finds a plain step, dates it and sizes it; time turned round, its sign turns', () => {
    const visits = history(40, { step: 0.6 });
    const of = (list: typeof visits) => {
      const aligned = syntheticAligned(list, { classes: THREE });
      return shiftOf(syntheticFit(aligned, [draw]), aligned);
    };
    const there = of(visits);
    const back = of([...visits].reverse().map((v, i) => ({ ...v, flood: i, timeMs: i * 10 * DAY })));
    expect(there.found).toBe(true);
    expect(there.step!.date80Ms[0]).toBeLessThanOrEqual(19 * 10 * DAY);
    expect(there.step!.date80Ms[1]).toBeGreaterThanOrEqual(20 * 10 * DAY);
    expect(there.step!.size.i95[0]).toBeLessThan(0.6);
    expect(there.step!.size.i95[1]).toBeGreaterThan(0.6);
    expect(there.step!.visitsBefore + there.step!.visitsAfter).toBe(40);
    expectClose(back.step!.size.median, -there.step!.size.median, { abs: 0.03, why: 'edges settle on the grid' });
    expectClose(back.probability!, there.probability!, { abs: 0.01, why: 'same evidence' });
    // The floods' residuals rise: Pettitt sees it too.
    expect(there.pettitt!.p).toBeLessThan(0.05);
  });

  it('takes many visits of few floods as few witnesses', () => {
    const alone = history(60, { step: 0.25 });
    const together = history(60, { step: 0.25 }).map((v, i) => ({ ...v, flood: Math.floor(i / 6) }));
    const of = (list: typeof alone) => {
      const aligned = syntheticAligned(list, { classes: THREE });
      return shiftOf(syntheticFit(aligned, [draw]), aligned).logBayesFactor!;
    };
    expect(of(together)).toBeLessThan(of(alone) - 0.3);
  });

  it('one wrong visit is no step', () => {
    const visits = history(24).map((v, i) => (i === 20 ? { ...v, x: 4, saw: 0 } : v));
    const aligned = syntheticAligned(visits, { classes: THREE });
    const { found, residuals } = shiftOf(syntheticFit(aligned, [draw]), aligned);
    expect(found).toBe(false);
    expect(residuals[20]).toBeLessThan(-1);
  });

  it('says nothing with fewer than six floods, without draws, or without readings', () => {
    const aligned = syntheticAligned(history(5, { perFlood: 4 }), { classes: THREE });
    const blank = { status: 'too-few', probability: null, found: false, step: null, pettitt: null };
    expect(shiftOf(syntheticFit(aligned, [draw]), aligned)).toMatchObject(blank);
    expect(shiftOf(syntheticFit(aligned, []), aligned)).toMatchObject(blank);
    const dry = syntheticAligned(history(30).map((v) => ({ ...v, x: NaN })), { classes: THREE }); // prettier-ignore
    expect(shiftOf(syntheticFit(dry, [draw]), dry)).toMatchObject(blank);
  });

  it('leaves visits without a reading out', () => {
    const visits = history(20, { step: 0.6 });
    const holed = visits.map((v, i) => (i % 5 === 2 ? { ...v, x: NaN } : v));
    const aligned = syntheticAligned(holed, { classes: THREE });
    const kept = syntheticAligned(visits.filter((_, i) => i % 5 !== 2), { classes: THREE }); // prettier-ignore
    const a = shiftOf(syntheticFit(aligned, [draw]), aligned);
    const b = shiftOf(syntheticFit(kept, [draw]), kept);
    expect(a.residuals[2]).toBe(NaN);
    expectClose(a.logBayesFactor!, b.logBayesFactor!, { abs: 1e-9, why: 'same visits' });
  });

  it('refuses misuse', () => {
    const aligned = syntheticAligned(history(8), { classes: THREE });
    const other = syntheticAligned(history(7), { classes: THREE });
    const fit = syntheticFit(aligned, [draw]);
    expect(() => shiftOf(fit, other)).toThrow('shiftOf: aligned holds 7 visits, the fit another number');
    expect(() => shiftOf(fit, aligned, { prior: 1 })).toThrow('shiftOf: prior must be between 0 and 1, got 1');
  });

  it('a stage gauge in its own small units says the same', () => {
    const visits = history(30, { step: 0.6 });
    const mean = visits.reduce((sum, v) => sum + v.x, 0) / 30;
    const spread = Math.sqrt(visits.reduce((sum, v) => sum + (v.x - mean) ** 2, 0) / 29);
    const of = (scale: number, stage: boolean) => {
      const scaled = visits.map((v) => ({ ...v, x: v.x * scale }));
      const aligned = syntheticAligned(scaled, { classes: THREE, stage });
      return shiftOf(
        syntheticFit(aligned, [{ edges: [scale, 2 * scale], mismatch: 0.3 * scale, blur: 0.2 * scale }]),
        aligned,
      );
    };
    // Discharge whose ln spreads by 1, and a stage gauge that moves a twentieth of that.
    const flow = of(1 / spread, false);
    const stage = of(1 / spread / 20, true);
    expectClose(stage.logBayesFactor!, flow.logBayesFactor!, { abs: 1e-6, why: 'same evidence' });
    expectClose(stage.step!.size.median * 20, flow.step!.size.median, { rel: 1e-6, why: 'a twentieth' });
  });

  it('same input, same bytes', () => {
    const aligned = simulateHistory({ seed: 3, visitsEachSide: 15 });
    const { effective } = fitLevels(aligned, { modes: ['effective'], draws: 60 });
    expect(JSON.stringify(shiftOf(effective, aligned))).toBe(JSON.stringify(shiftOf(effective, aligned)));
  });
});

/** The small twin of `tools/simulate.ts`, whose 400 histories stand in validation/shift.json. */
describe('shiftOf on simulated logs', () => {
  it('a stable creek seldom alarms: at most 1 of 6 (with 5 % odds of more: 3 %)', () => {
    const tally = tallyShift({ step: 0 }, { histories: 6, firstSeed: 900_001 });
    expect(tally.found * 6).toBeLessThanOrEqual(1.01);
  });

  it('a step of 0.5 with 40 visits on each side is found: at least 4 of 6 (with 90 % odds of fewer: 2 %)', () => {
    const tally = tallyShift({ step: 0.5 }, { histories: 6, firstSeed: 910_001 });
    expect(tally.found * 6).toBeGreaterThanOrEqual(3.99);
    expectClose(tally.sizeError!, 0, { abs: 0.12, why: 'size without a lean' });
  });
});

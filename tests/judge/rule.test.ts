import { describe, expect, it } from 'vitest';
import { chooseRule } from '../../src/judge/chooseRule.js';
import { leaveFloodOut } from '../../src/judge/leaveFloodOut.js';
import { goes, ruleCost } from '../../src/judge/rule.js';
import { ruleDays, type RuleDay, type RuleDays } from '../../src/judge/ruleDays.js';
import { createRandom } from '../../src/kernel/random.js';
import { expectClose } from '../expectClose.js';
import { syntheticAligned, syntheticFit } from './syntheticRelation.js';

/** reading, seen (0 below, 1 good, 2 high but fine, 3 too high), odds of below, good, too high. */
type Row = readonly [number, 0 | 1 | 2 | 3, number, number, number];

function daysOf(rows: readonly Row[], floodOf: (i: number) => number = (i) => i): RuleDays {
  const days = rows
    .map(([reading, seen, oddsBelow, oddsGood, oddsTooHigh], i): RuleDay => ({
      reading,
      floodSlot: floodOf(i),
      weight: 1,
      wasBelow: Number(seen === 0),
      wasGood: Number(seen === 1),
      wasTooHigh: Number(seen === 3),
      oddsBelow,
      oddsGood,
      oddsTooHigh,
    }))
    .sort((a, b) => a.reading - b.reading);
  return {
    kind: 'rule-days',
    days,
    floods: new Set(days.map((d) => d.floodSlot)).size,
    lagHours: 0,
    storageHours: 0,
    good: [1, 1],
    tooHighFrom: 3,
    unmatchedShare: 0,
  };
}

const rows: Row[] = [
  [1, 0, 0.9, 0.1, 0],
  [2, 1, 0.4, 0.6, 0],
  [3, 1, 0.1, 0.85, 0.05],
  [4, 2, 0, 0.5, 0.2],
  [5, 3, 0, 0.2, 0.6],
];

describe('ruleCost', () => {
  it('by hand', () => {
    const cost = ruleCost(daysOf(rows), { atLeast: 2, atMost: 5 });
    expect([cost.days, cost.goDays, cost.goodDays]).toEqual([5, 4, 2]);
    expect([cost.wasted.value, cost.tooHigh.value, cost.missed.value]).toEqual([0, 0.25, 0]);
    expect(cost.tooHigh).toMatchObject({ cases: 1, days: 4, floodsWith: 1, floods: 4 });
    // What the odds expect stands on the frontier.
    const odds = chooseRule(daysOf(rows), { wastedWorth: 0 }).frontier.find((r) => r.atLeast <= 2 && r.atMost === 5)!;
    expectClose(odds.tooHigh, 0.85 / (odds.atLeast === 2 ? 4 : 5), { abs: 1e-12, why: 'odds of too high' });
    // Never wasted on four floods: the interval still reaches 1 - 0.1^(1/4).
    expectClose(cost.wasted.i80[1]!, 1 - 0.1 ** 0.25, { abs: 1e-12, why: 'not never' });
  });

  it('a rule that never goes has no shares but what it misses', () => {
    const cost = ruleCost(daysOf(rows), { atLeast: 7, atMost: 8 });
    expect([cost.goDays, cost.wasted.value, cost.tooHigh.value]).toEqual([0, null, null]);
    expect(cost.missed.value).toBe(1);
    expect(() => ruleCost(daysOf(rows), { atLeast: 3, atMost: 2 })).toThrow(
      'ruleCost: atLeast must not be above atMost, got 3 and 2',
    );
  });

  it('intervals are wider for the same days in fewer floods', () => {
    const random = createRandom(1);
    const many: Row[] = Array.from({ length: 60 }, () => [1, random.uniform() < 0.4 ? 0 : 1, 0.4, 0.6, 0]);
    const byFlood: Row[] = many.map((_, i) => [1, Math.floor(i / 6) % 3 === 0 ? 0 : 1, 0.4, 0.6, 0]);
    const width = (days: RuleDays) => {
      const [low, high] = ruleCost(days, { atLeast: 0, atMost: 2 }).wasted.i80;
      return high! - low!;
    };
    expect(width(daysOf(byFlood, (i) => Math.floor(i / 6)))).toBeGreaterThan(1.5 * width(daysOf(byFlood)));
    expect(width(daysOf(many))).toBeLessThan(0.25);
  });
});

describe('chooseRule', () => {
  it('keeps "too high" under the rate both ways, and loses least', () => {
    const { rule, cost, frontier } = chooseRule(daysOf(rows));
    // 2 to 3 goes on odds of too high 0.025; 2 to 4 would be 0.083.
    expect(rule).toEqual({ atLeast: 2, atMost: 3 });
    expect(cost!.goDays).toBe(2);
    expect(chooseRule(daysOf(rows), { rate: 0.1 }).rule).toEqual({ atLeast: 2, atMost: 4 });
    expect(frontier.map((r) => r.tooHigh)).toEqual([...frontier.map((r) => r.tooHigh)].sort((a, b) => a - b));
    expect(frontier[0].tooHigh).toBe(0);
  });

  it('does not trust the odds where the log says otherwise', () => {
    const seen: Row[] = rows.map((r) => (r[0] === 3 ? [3, 3, r[2], r[3], r[4]] : r));
    expect(chooseRule(daysOf(seen)).rule).toEqual({ atLeast: 2, atMost: 2 });
  });

  it('finds none where every day may be too high', () => {
    const high: Row[] = rows.map(([reading, seen]) => [reading, seen, 0, 0.5, 0.5]);
    expect(chooseRule(daysOf(high))).toMatchObject({ rule: null, cost: null, costLeftOut: null });
    expect(chooseRule(daysOf([]))).toMatchObject({ frontier: [], rule: null });
  });

  it('a wasted drive that costs nothing lowers the lower end', () => {
    expect(chooseRule(daysOf(rows), { wastedWorth: 0 }).rule!.atLeast).toBe(1);
    expect(chooseRule(daysOf(rows), { wastedWorth: 5 }).rule!.atLeast).toBe(3);
  });

  it('agrees with a plain search over all pairs, and its frontier is what no pair beats', () => {
    const random = createRandom(12);
    for (let world = 0; world < 20; world++) {
      const many: Row[] = Array.from({ length: 25 }, () => {
        const reading = 1 + random.integer(15);
        const c = reading + 2 * random.normal();
        const high = 1 / (1 + Math.exp(12 - reading));
        const below = 1 / (1 + Math.exp(reading - 5));
        return [reading, c < 5 ? 0 : c < 10 ? 1 : c < 12 ? 2 : 3, below, (1 - below) * (1 - high) * 0.8, high];
      });
      const days = daysOf(many);
      const readings = [...new Set(many.map((r) => r[0]))].sort((a, b) => a - b);
      const pairs = readings.flatMap((atLeast) => readings.filter((b) => b >= atLeast).map((atMost) => ({ atLeast, atMost }))); // prettier-ignore
      const judged = pairs.map((pair) => {
        const gone = days.days.filter((d) => goes(pair, d));
        const mean = (f: (d: RuleDay) => number) => gone.reduce((s, d) => s + f(d), 0) / gone.length;
        const missed = days.days.filter((d) => !goes(pair, d)).reduce((s, d) => s + d.oddsGood, 0);
        return {
          pair,
          tooHigh: mean((d) => d.oddsTooHigh),
          ok: mean((d) => d.oddsTooHigh) <= 0.05 && mean((d) => d.wasTooHigh) <= 0.05,
          loss: missed + gone.reduce((s, d) => s + d.oddsBelow, 0),
        };
      });
      const { rule, frontier } = chooseRule(days);
      const least = Math.min(...judged.filter((j) => j.ok).map((j) => j.loss));
      expectClose(judged.find((j) => j.pair.atLeast === rule!.atLeast && j.pair.atMost === rule!.atMost)!.loss, least, { abs: 1e-9, why: `world ${world}` }); // prettier-ignore
      for (const point of frontier) {
        const own = judged.find((j) => j.pair.atLeast === point.atLeast && j.pair.atMost === point.atMost)!;
        const beaten = judged.some((j) => j.tooHigh < own.tooHigh - 1e-9 && j.loss <= own.loss + 1e-9);
        expect(beaten, `world ${world}: ${point.atLeast} to ${point.atMost}`).toBe(false);
      }
    }
  });

  it('chosen without a flood, a rule costs more on it than it promised', () => {
    const random = createRandom(4);
    let promised = 0;
    let kept = 0;
    for (let world = 0; world < 40; world++) {
      const many: Row[] = Array.from({ length: 24 }, () => {
        const reading = Math.exp(1.5 * random.uniform());
        const seen = ([0, 1, 2, 3] as const)[random.integer(4)];
        return [reading, seen, 0.3, 0.6, 0.02];
      });
      const { cost, costLeftOut } = chooseRule(daysOf(many));
      if (cost === null || costLeftOut!.goDays === 0) continue;
      promised += cost.tooHigh.value! * cost.goDays;
      kept += costLeftOut!.tooHigh.value! * costLeftOut!.goDays;
    }
    expect(kept).toBeGreaterThan(promised + 10);
  });

  it('refuses misuse', () => {
    expect(() => chooseRule(daysOf(rows), { rate: 2 })).toThrow('chooseRule: rate must be from 0 to 1, got 2');
    expect(() => chooseRule(daysOf(rows), { wastedWorth: -1 })).toThrow(
      'chooseRule: wastedWorth must not be negative, got -1',
    );
  });
});

describe('ruleDays', () => {
  const visits = [0.2, 0.8, 1.4, 1.9, 2.6, NaN].map((x, flood) => ({ x, saw: [0, 1, 2, 3, 4, 2][flood], flood }));
  const aligned = syntheticAligned(visits, { offset: 0.5 });
  const fit = syntheticFit(aligned, [{ edges: [0.5, 1, 1.6, 2.2], mismatch: 0.2, blur: 0.1 }]);
  const left = leaveFloodOut(fit, aligned);

  it('takes the verdicts with a reading, in the gauge’s unit', () => {
    const { days, good, tooHighFrom, unmatchedShare, floods } = ruleDays({ fit, aligned, left });
    expect(days.map((d) => [d.wasBelow, d.wasGood, d.wasTooHigh])).toEqual([
      [1, 0, 0],
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 0],
      [0, 0, 1],
    ]);
    expectClose(days[0].reading, Math.exp(0.2) + 0.5, { abs: 1e-12, why: 'x is ln(reading - offset)' });
    expect([good, tooHighFrom, floods]).toEqual([[2, 2], 4, 6]);
    expectClose(unmatchedShare, 1 / 6, { abs: 1e-12, why: 'one of six' });
    expectClose(days[2].oddsGood, left.probability[2 * 5 + 2], { abs: 1e-12, why: 'the left-out odds' });
  });

  it('other classes can count', () => {
    const { days } = ruleDays({ fit, aligned, left }, { good: [1, 3], tooHighFrom: 4 });
    expect(days.map((d) => d.wasGood)).toEqual([0, 1, 1, 1, 0]);
    expect(() => ruleDays({ fit, aligned, left }, { good: [2, 4], tooHighFrom: 4 })).toThrow(
      'ruleDays: good classes 2 to 4 and too high from 4 must ascend within 0 to 4',
    );
  });

  it('with two classes nothing is too high', () => {
    const two = syntheticAligned([0, 1, 2].map((x, i) => ({ x, saw: Math.min(1, i) })), { classes: ['low', 'good'] }); // prettier-ignore
    const its = syntheticFit(two, [{ edges: [0.5], mismatch: 0.2, blur: 0.1 }]);
    const found = ruleDays({ fit: its, aligned: two, left: leaveFloodOut(its, two) });
    expect([found.good, found.tooHighFrom]).toEqual([[1, 1], 2]);
    expect(found.days.every((d) => d.oddsTooHigh === 0)).toBe(true);
  });

  it('has no days without draws', () => {
    const none = syntheticFit(aligned, []);
    expect(ruleDays({ fit: none, aligned, left: leaveFloodOut(none, aligned) }).days).toEqual([]);
  });
});

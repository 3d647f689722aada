import { describe, expect, it } from 'vitest';
import { inflow } from '../../src/align/effectiveSeries.js';
import { answerReading, calculatorOf, readingFrom, type Calculator } from '../../src/chart/calculator.js';
import { derivedParts } from '../../src/chart/derivedRecipe.js';
import { oddsAt, seenOdds } from '../../src/chart/figures/oddsAt.js';
import { wholePercents } from '../../src/chart/figures/wholePercents.js';
import type { Creek } from '../../src/series/creek.js';
import { fixtureChart } from '../show/fixtureChart.js';

const helpers = { oddsAt, seenOdds, wholePercents };
const gauge = fixtureChart().runs[0]!.gauges[0]!;
const plain = { ...calculatorOf(gauge, gauge.level!), meanHours: 0 };
const typed = (
  more: Partial<Calculator>,
  now: readonly number[],
  before: readonly number[] = [],
  mean: readonly number[] = [],
) => readingFrom({ ...plain, ...more }, { now, before, mean }, { inflow });

describe('readingFrom', () => {
  const part = plain.parts[0]!;

  it('takes a reading as it stands, and adds a multiple of its change', () => {
    expect(typed({}, [312])).toBe(312);
    expect(typed({ changeHours: 8 }, [100], [98])).toBe(116);
    expect(typed({ changeHours: 8 }, [100], [102])).toBe(84);
  });

  it('goes half way from a reading to its mean', () => {
    expect(typed({ meanHours: 24 }, [12], [], [20])).toBe(16);
    expect(typed({ meanHours: 24, zeroFlow: 0.5 }, [1.5], [], [2.5])).toBe(2);
  });

  it('floors a steep fall at a tenth of what flows, on a stage above its stage of no flow', () => {
    expect(typed({ changeHours: 8 }, [100], [150])).toBe(10);
    // 1.5 - 0.5 = 1 above no flow; a fall of 0.4 in an hour would make it negative.
    expect(typed({ changeHours: 8, zeroFlow: 0.5 }, [1.5], [1.9])).toBeCloseTo(0.6, 12);
  });

  it('works a combined gauge out of one number a gauge, each in its own unit', () => {
    const parts = [part, { ...part, factor: -35.314667 }];
    expect(typed({ parts }, [1000, 10])).toBeCloseTo(646.85333, 9);
    const weighted = [
      { ...part, factor: 0.75 },
      { ...part, factor: 0.25 },
    ];
    expect(typed({ parts: weighted, combine: 'product' }, [16, 81])).toBeCloseTo(8 * 3, 12);
    // The change is that of the combination: 646.85 now, 546.85 before.
    expect(typed({ parts, changeHours: 2 }, [1000, 10], [900, 10])).toBeCloseTo(846.85333, 9);
  });

  it('counts a rise by the power that the fit kept', () => {
    expect(typed({ limbHours: 2 }, [110], [100])).toBeCloseTo(110 * 1.21, 12);
  });
});

describe('answerReading', () => {
  const answer = (value: number) => answerReading(plain, value, helpers);
  const { from, to } = plain.seen;

  it('gives on a thousand readings the odds of the chart, their intervals around them, and the visits near', () => {
    for (let i = 0; i <= 1000; i++) {
      const value = Math.min(to, from * (to / from) ** (i / 1000));
      const said = answer(value);
      if (said.kind !== 'odds') throw new Error(`no odds at ${value}`);
      expect(said.percents).toEqual(wholePercents(oddsAt(gauge.level!.odds, value)!));
      said.percents.forEach((percent, k) => {
        expect(said.low[k]).toBeLessThanOrEqual(percent);
        expect(said.high[k]).toBeGreaterThanOrEqual(percent);
      });
      expect(said.percents[said.likeliest]).toBe(Math.max(...said.percents));
      const near = gauge.visits.filter(
        ({ reading: x }) => x !== null && x >= said.near.from && x <= said.near.to,
      ).length;
      expect(said.near.visits).toBe(near);
      expect(Math.log(said.near.to / said.near.from)).toBeCloseTo(Math.log(to / from) / 10, 9);
    }
  });

  it('gives no odds beyond what was seen, but at least or at most a class', () => {
    expect(answer(to * 1.2)).toEqual({ kind: 'not-seen', side: 'above', end: to, classIndex: 4 });
    expect(answer(from / 1.2)).toEqual({ kind: 'not-seen', side: 'below', end: from, classIndex: 0 });
  });

  it('refuses what no gauge shows', () => {
    expect(answer(NaN)).toEqual({ kind: 'refused', why: 'not-a-number' });
    for (const none of [0, -3]) expect(answer(none)).toEqual({ kind: 'refused', why: 'no-flow' });
    for (const slip of [to * 10.1, from / 10.1]) expect(answer(slip)).toEqual({ kind: 'refused', why: 'far-off' });
    const stage: Calculator = { ...plain, log: false, seen: { from: 0.5, to: 1.5 } };
    for (const slip of [4.6, -2.6]) expect(answerReading(stage, slip, helpers).kind).toBe('refused');
    for (const odd of [4.4, -2.4]) expect(answerReading(stage, odd, helpers).kind).toBe('not-seen');
  });
});

describe('derivedParts', () => {
  const gauges = [
    { id: 'below', name: 'Below', unit: 'ft3/s', catchmentAreaKm2: 200 },
    { id: 'branch', name: 'Branch', unit: 'm3/s' },
  ];
  const creekOf = (derived: object) => ({ gauges, derivedGauges: [derived] }) as unknown as Pick<Creek, 'gauges'>;

  it('takes units, signs, areas and travel times with it', () => {
    const difference = creekOf({ id: 'd', kind: 'difference', of: ['below', 'branch'], travelHours: [0, 2] });
    const { combine, of } = derivedParts(difference, { gauge: 'd' })!;
    expect(combine).toBe('sum');
    expect(of.map(({ gauge: id, hoursEarlier }) => [id, hoursEarlier])).toEqual([
      ['below', 0],
      ['branch', 2],
    ]);
    expect(of[0]!.factor).toBe(1);
    // 1 m = 1 / 0.3048 ft exactly.
    expect(of[1]!.factor).toBeCloseTo(-(0.3048 ** -3), 9);
    const scaled = creekOf({ id: 's', kind: 'area-scaled', of: ['below'], catchmentAreaKm2: 50 });
    expect(derivedParts(scaled, { gauge: 's' })!.of[0]!.factor).toBe(0.25);
    expect(derivedParts(scaled, { gauge: 'below' })).toBeUndefined();
  });
});

import { expect, it } from 'vitest';
import { inflow } from '../../../src/align/effectiveSeries.js';
import { answerReading, calculatorOf, readingFrom } from '../../../src/chart/calculator.js';
import { oddsNow } from '../../../src/chart/day/oddsNow.js';
import { oddsAt, seenOdds } from '../../../src/chart/figures/oddsAt.js';
import { wholePercents } from '../../../src/chart/figures/wholePercents.js';
import type { GaugeChart, LevelChart } from '../../../src/chart/types.js';
import { createRandom } from '../../../src/kernel/random.js';
import { HOUR, makeRecord } from '../../align/makeRecord.js';
import { stepLevel } from './stepLevel.js';

const helpers = { inflow, oddsAt, seenOdds, wholePercents };

it('says the same as the calculator of the page at a thousand random readings, whatever the instruction asks for', () => {
  const random = createRandom(11);
  const said = { odds: 0, 'not-seen': 0, refused: 0 };
  for (let i = 0; i < 1000; i++) {
    const storageHours = [0, -6, -1.5, 2, 6][i % 5]!;
    const limbHours = i % 3 === 0 ? 0.4 * random.normal() : 0;
    const lagHours = random.integer(5);
    const level = {
      ...stepLevel({ lagHours, storageHours }),
      limb: { kept: limbHours !== 0, logBayesFactor: 0, ...(limbHours !== 0 && { hours: { median: limbHours } }) },
    } as unknown as LevelChart;
    // Hourly flow up to the moment of the reading, and what a person types who reads it off.
    const hours = 40;
    const values = Array.from({ length: hours }, () => 14 * Math.exp(0.4 * random.normal()));
    const record = makeRecord(values);
    const gauge = {
      gauge: { id: 'weir', name: 'the weir', parameter: 'discharge', unit: 'm3/s', otherUnit: 'ft3/s' },
      visits: [],
    } as unknown as GaugeChart;
    const calculator = calculatorOf(gauge, level);
    const now = values.at(-1)!;
    const window = values.slice(hours - 1 - calculator.meanHours);
    const mean = window.slice(1).reduce((sum, v, j) => sum + 0.5 * (window[j]! + v), 0) / calculator.meanHours;
    const value = readingFrom(calculator, { now: [now], before: [values.at(-2)!], mean: [mean] }, helpers);
    const page = answerReading(calculator, value, helpers);
    const day = oddsNow(level, record, { arrivalMs: record.timesMs.at(-1)! + lagHours * HOUR });
    said[page.kind]++;
    expect(day.carriedHours).toBe(0);
    expect(Math.abs(day.reading!.value / value - 1)).toBeLessThan(1e-9);
    if (page.kind === 'odds') {
      // Whole percents of the same odds: a share just at a half may fall either way by the reading's last digit.
      wholePercents(day.odds!).forEach((percent, k) => expect(Math.abs(percent - page.percents[k]!)).toBeLessThan(2));
      const at = seenOdds(calculator, value, helpers).rows[0]!;
      day.odds!.forEach((p, k) => expect(Math.abs(p - at[k]!)).toBeLessThan(1e-6));
    } else expect([day.odds, day.why]).toEqual([null, 'not-seen']);
  }
  expect(said.odds).toBeGreaterThan(500);
  expect(said['not-seen'] + said.refused).toBeGreaterThan(20);
});

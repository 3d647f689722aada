import { describe, expect, it } from 'vitest';
import { floodOfVisits, floodStarts } from '../../src/align/floods.js';
import { FROM, HOUR, makeRecord } from './makeRecord.js';

/** Readings whose ln is given, one an hour. */
const lnRecord = (ln: readonly number[]) => makeRecord(ln.map(Math.exp));
const hoursOf = (starts: Float64Array) => [...starts].map((t) => (t - FROM) / HOUR);
const at = (...hours: number[]) => Float64Array.from(hours, (h) => FROM + h * HOUR);

// Low water, a flood with its peak at hour 6, a fall to hour 10, a second one with its peak at hour 13, and low water again.
const twoFloods = [0, 0, 0, 0, 1, 2, 3, 2.4, 1.8, 1.2, 0.8, 1.5, 2.5, 3, 2, 1, 0.5, 0.4, 0.3, 0.3];

describe('floodStarts', () => {
  it('starts a flood at the last low before each rise, the record at its first reading', () => {
    expect(hoursOf(floodStarts(lnRecord(twoFloods)))).toEqual([0, 3, 10]);
  });

  it('ignores a rise smaller than the threshold, and sees it with a smaller one', () => {
    // sd of twoFloods is 1.03: the threshold is 0.62, so a bump of 0.5 on the recession is none.
    const bump = twoFloods.with(17, 0.9);
    expect(hoursOf(floodStarts(lnRecord(bump)))).toEqual([0, 3, 10]);
    expect(hoursOf(floodStarts(lnRecord(bump), { riseSd: 0.3 }))).toEqual([0, 3, 10, 16]);
  });

  it('does not split a peak with a dip smaller than the threshold', () => {
    const dented = [0, 0, 1, 2, 3, 2.6, 3, 3.2, 2, 1, 0];
    expect(hoursOf(floodStarts(lnRecord(dented)))).toEqual([0, 1]);
    expect(hoursOf(floodStarts(lnRecord(dented), { riseSd: 0.25 }))).toEqual([0, 1, 5]);
  });

  it('the threshold is 0.6 standard deviations of the record, up as down', () => {
    // With 1.2 in it the sd is 1.02 and the threshold 0.61: a rise of 0.7 is a flood.
    expect(hoursOf(floodStarts(lnRecord(twoFloods.with(17, 1.2))))).toEqual([0, 3, 10, 16]);
    // A dip of 0.2 on the way up is no fall, though the water then climbs by 1.2.
    expect(hoursOf(floodStarts(lnRecord([0, 0, 1, 2, 1.8, 3, 2, 1, 0])))).toEqual([0, 1]);
  });

  it('is the same for a gauge in other units', () => {
    const cfs = makeRecord(twoFloods.map((v) => 35.3146667 * Math.exp(v)));
    expect([...floodStarts(cfs)]).toEqual([...floodStarts(lnRecord(twoFloods))]);
  });

  it('counts a stage from its zero-flow stage', () => {
    const stage = makeRecord(
      twoFloods.map((v) => 312 + Math.exp(v)),
      { parameter: 'stage', unit: 'm', zeroFlowStage: 312 },
    );
    expect(hoursOf(floodStarts(stage))).toEqual([0, 3, 10]);
  });

  it('passes over readings that are missing, zero or negative', () => {
    const values = twoFloods.map(Math.exp);
    const holed = [NaN, -1, ...values.slice(0, 5), 0, ...values.slice(5)];
    // Two rows in front and one before hour 5: the starts move by 2, 2 and 3 rows.
    expect(hoursOf(floodStarts(makeRecord(holed)))).toEqual([2, 5, 13]);
  });

  it('gives one start for water that never moves or only falls, none for no usable reading', () => {
    expect(hoursOf(floodStarts(makeRecord([4, 4, 4, 4])))).toEqual([0]);
    expect(hoursOf(floodStarts(makeRecord([9, 7, 5, 3])))).toEqual([0]);
    expect(hoursOf(floodStarts(makeRecord([5])))).toEqual([0]);
    expect(floodStarts(makeRecord([]))).toHaveLength(0);
    expect(floodStarts(makeRecord([NaN, 0, -2]))).toHaveLength(0);
  });
});

describe('floodOfVisits', () => {
  it('gives visits between two starts the same number, without holes', () => {
    const record = lnRecord(twoFloods);
    expect([...floodOfVisits(record, at(1, 4, 9, 10, 15, 19))]).toEqual([0, 1, 1, 2, 2, 2]);
    // Nobody came in the first flood: its number is not left out.
    expect([...floodOfVisits(record, at(1, 2, 12))]).toEqual([0, 0, 1]);
  });

  it('ends a long recession after two weeks, counted from the first visit of the group', () => {
    const falling = makeRecord(Array.from({ length: 1500 }, (_, t) => 100 * Math.exp(-t / 900)));
    const day = 24;
    expect([...floodOfVisits(falling, at(0, 7 * day, 14 * day))]).toEqual([0, 0, 0]);
    expect([...floodOfVisits(falling, at(0, 14 * day + 1, 28 * day, 28 * day + 2))]).toEqual([0, 1, 1, 2]);
  });

  it('groups visits outside the record by days alone', () => {
    const record = lnRecord(twoFloods);
    const day = 24;
    expect([...floodOfVisits(record, at(-60 * day, -50 * day, -14 * day, -1))]).toEqual([0, 0, 1, 1]);
    expect([...floodOfVisits(makeRecord([]), at(0, 5 * day, 40 * day))]).toEqual([0, 0, 1]);
    expect([...floodOfVisits(record, at(-1, 1))]).toEqual([0, 1]);
  });

  it('gives nothing for no visit', () => {
    expect(floodOfVisits(lnRecord(twoFloods), new Float64Array(0))).toHaveLength(0);
  });
});

import { describe, expect, it } from 'vitest';
import { readBytes, utf8 } from './invariants.js';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readVisits } from '../../src/read/readVisits.js';
import type { Gauge } from '../../src/series/creek.js';
import { readTime, zoneClock } from '../../src/series/time.js';
import { CREEK_TEXT } from './invariants.js';

/*
 * The nights on which clocks change. Source of the instants: IANA time zone database, rules EU, US, LH (Lord Howe, half an hour), AN (New South Wales), NZ/Chatham;
 * worked out by hand from the rules' Sundays in 2031 (2032 for the leap day).
 */
const gauge = (timeZone: string): Gauge => ({
  id: 'g',
  name: 'g',
  parameter: 'discharge',
  unit: 'm3/s',
  files: ['f'],
  format: 'delimited',
  columns: { time: 'time', value: 'value' },
  timeZone,
});
const table = (...times: string[]) => utf8(`time,value\n${times.map((time, i) => `${time},${i + 1}\n`).join('')}`);
const minutes = (record: { timesMs: Float64Array } | undefined) =>
  Array.from(record!.timesMs, (ms) => new Date(ms).toISOString().slice(0, 16));

interface Night {
  readonly zone: string;
  /** A local time that was skipped in spring. */
  readonly skipped: string;
  /** A local time that came twice in autumn, and its two instants. */
  readonly doubled: string;
  readonly instants: readonly [string, string];
}

/** In order: zone, skipped, doubled, its two instants. */
const NIGHTS: readonly Night[] = (
  [
    ['Europe/London', '2031-03-30T01:30', '2031-10-26T01:30', '2031-10-26T00:30', '2031-10-26T01:30'],
    ['America/Denver', '2031-03-09T02:30', '2031-11-02T01:30', '2031-11-02T07:30', '2031-11-02T08:30'],
    ['America/St_Johns', '2031-03-09T02:30', '2031-11-02T01:30', '2031-11-02T04:00', '2031-11-02T05:00'],
    ['Australia/Sydney', '2031-10-05T02:30', '2031-04-06T02:30', '2031-04-05T15:30', '2031-04-05T16:30'],
    ['Australia/Lord_Howe', '2031-10-05T02:15', '2031-04-06T01:45', '2031-04-05T14:45', '2031-04-05T15:15'],
    ['Pacific/Chatham', '2031-09-28T03:00', '2031-04-06T03:00', '2031-04-05T13:15', '2031-04-05T14:15'],
  ] as const
).map(([zone, skipped, doubled, first, second]) => ({ zone, skipped, doubled, instants: [first, second] }));

/** A sighting in the doubled time: half the distance of the two, at least an hour. */
const GIVE_OR_TAKE_MIN = 60;

describe.each(NIGHTS)('the two nights in $zone', ({ zone, skipped, doubled, instants }) => {
  it('spring: a reading in the skipped time is refused, with its row', () => {
    const { record, issues } = readBytes(gauge(zone), table('2031-01-01T00:00', skipped));
    expect(record!.timesMs.length).toBe(1);
    expect(issues).toMatchObject([{ code: 'time-nonexistent', severity: 'warning', row: 3 }]);
  });
  it('autumn: both passes in order are told apart; one pass alone is refused', () => {
    expect(minutes(readBytes(gauge(zone), table(doubled, doubled)).record)).toEqual(instants);
    const { record, issues } = readBytes(gauge(zone), table('2031-01-01T00:00', doubled));
    expect(record!.timesMs.length).toBe(1);
    expect(issues).toMatchObject([{ code: 'time-ambiguous', severity: 'warning', row: 3 }]);
  });
  it('a sighting in the doubled time is the middle, give or take; an offset settles it', () => {
    const clock = zoneClock(zone);
    const [early, late] = instants.map((text) => Date.parse(`${text}Z`)) as [number, number];
    expect(readTime(doubled, clock)).toEqual({
      kind: 'ambiguous',
      timeMs: (early + late) / 2,
      giveOrTakeMin: GIVE_OR_TAKE_MIN,
      earlierMs: early,
      laterMs: late,
    });
    expect(readTime(skipped, clock)).toEqual({ kind: 'nonexistent' });
    expect(readTime(`${instants[1]}Z`, clock)).toEqual({ kind: 'exact', timeMs: late });
  });
});

describe('calendar', () => {
  it.each([
    ['Asia/Kathmandu', '2032-02-29T12:00', '2032-02-29T06:15'],
    ['Asia/Kolkata', '2032-02-29T05:00', '2032-02-28T23:30'],
    ['Australia/Adelaide', '2032-02-29T12:00', '2032-02-29T01:30'],
    ['America/St_Johns', '2032-02-29T23:00', '2032-03-01T02:30'],
    ['Pacific/Auckland', '2031-12-31T23:59', '2031-12-31T10:59'],
  ])('%s: %s is %s UTC', (zone, local, utc) => {
    expect(minutes(readBytes(gauge(zone), table(local)).record)).toEqual([utc]);
  });
  it('the twenty-ninth of February is a day in leap years only', () => {
    expect(
      readBytes(gauge('UTC'), table('2031-02-28T23:45', '2031-02-29T00:00', '2031-03-01T00:00')).issues,
    ).toMatchObject([{ code: 'time-unreadable', row: 3 }]);
    expect(readBytes(gauge('UTC'), table('2032-02-28T23:45', '2032-02-29T00:00', '2032-03-01T00:00')).issues).toEqual(
      [],
    );
  });
  it('daily values stand at local noon on both sides of a change', () => {
    const days = { ...gauge('Pacific/Auckland'), columns: { date: 'time', value: 'value' } };
    const { record, issues } = readBytes(days, table('2031-09-27', '2031-09-28', '2031-09-29'));
    expect([issues, minutes(record), record!.dayMeans]).toEqual([
      [],
      ['2031-09-27T00:00', '2031-09-27T23:00', '2031-09-28T23:00'],
      true,
    ]);
  });
});

describe('visits of one day in a southern summer', () => {
  it('are grouped by the local date, not by that of UTC', () => {
    const json = { ...(JSON.parse(CREEK_TEXT) as object), timeZone: 'Pacific/Auckland' };
    const { creek } = parseCreek({ name: 'creek.json', bytes: utf8(JSON.stringify(json)) });
    const rows = ['2031-01-05T09:00', '2031-01-05T20:00', '2031-01-06T00:30'].map(
      (when) => `${when},upper,verdict,good,Ana`,
    );
    const { visits } = readVisits(
      { name: 'v', bytes: utf8(`when,run,feature,saw,observer\n${rows.join('\n')}`) },
      creek!,
    );
    expect(visits.map(({ id, sightings }) => [id, sightings.length])).toEqual([
      ['upper 2031-01-05 Ana', 2],
      ['upper 2031-01-06 Ana', 1],
    ]);
  });
});

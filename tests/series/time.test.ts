import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isTimeZone, localDate, readTime, zoneClock } from '../../src/series/time.js';

const iso = (ms: number) => new Date(ms).toISOString().slice(0, 16);
const london = zoneClock('Europe/London');
const denver = zoneClock('America/Denver');
const lordHowe = zoneClock('Australia/Lord_Howe');
const stJohns = zoneClock('America/St_Johns');
const kathmandu = zoneClock('Asia/Kathmandu');

/** UTC of a time that is expected to be exact. */
function exact(text: string, clock = london): string {
  const time = readTime(text, clock);
  return time.kind === 'exact' ? iso(time.timeMs) : time.kind;
}

describe('readTime', () => {
  it('takes local time through the zone, summer and winter', () => {
    expect(exact('2024-07-01T14:30')).toBe('2024-07-01T13:30');
    expect(exact('2024-01-01T14:30')).toBe('2024-01-01T14:30');
    expect(exact('2024-07-01T14:30', denver)).toBe('2024-07-01T20:30');
    expect(exact('2024-01-01T14:30', denver)).toBe('2024-01-01T21:30');
  });

  it('takes an offset as it stands, whatever the zone', () => {
    for (const clock of [london, denver, kathmandu]) {
      expect(exact('2024-07-01T14:30Z', clock)).toBe('2024-07-01T14:30');
      expect(exact('2024-07-01T14:30-07:00', clock)).toBe('2024-07-01T21:30');
      expect(exact('2024-07-01T14:30+05:45', clock)).toBe('2024-07-01T08:45');
      expect(exact('2024-07-01T14:30+0545', clock)).toBe('2024-07-01T08:45');
      expect(exact('2024-07-01T14:30-07', clock)).toBe('2024-07-01T21:30');
    }
  });

  it('reads half-hour and three-quarter-hour zones', () => {
    expect(exact('2024-01-01T12:00', kathmandu)).toBe('2024-01-01T06:15');
    expect(exact('2024-01-01T12:00', stJohns)).toBe('2024-01-01T15:30');
    expect(exact('2024-07-01T12:00', stJohns)).toBe('2024-07-01T14:30');
  });

  it('reads leap days where they exist and nowhere else', () => {
    expect(exact('2024-02-29T12:00Z')).toBe('2024-02-29T12:00');
    expect(exact('2000-02-29T12:00Z')).toBe('2000-02-29T12:00');
    expect(exact('1900-02-29T12:00Z')).toBe('unreadable');
    expect(exact('2023-02-29T12:00Z')).toBe('unreadable');
  });

  it('reads a blank for the T, seconds, fractions, and 24:00 as the end of the day', () => {
    expect(exact('2024-01-01 14:30:59')).toBe('2024-01-01T14:30');
    expect(readTime('2024-01-01T14:30:05.250Z', london)).toEqual({
      kind: 'exact',
      timeMs: Date.UTC(2024, 0, 1, 14, 30, 5, 250),
    });
    expect(readTime('2024-01-01T14:30:59.9999Z', london)).toEqual({
      kind: 'exact',
      timeMs: Date.UTC(2024, 0, 1, 14, 30, 59, 999),
    });
    expect(exact(' 2024-01-01T14:30 ')).toBe('2024-01-01T14:30');
    expect(exact('2024-02-29T24:00Z')).toBe('2024-03-01T00:00');
  });

  it('tells a date without a clock apart', () => {
    expect(readTime('2024-04-28', denver)).toEqual({ kind: 'date-only', localMs: Date.UTC(2024, 3, 28) });
  });

  it.each([
    ['', 'nothing'],
    ['28/04/2024 14:30', 'day first'],
    ['2024-4-28T14:30', 'one digit'],
    ['2024-04-28T', 'no clock'],
    ['2024-04-28T14', 'hour alone'],
    ['2024-04-28T1430', 'basic form'],
    ['2024-04-28T14:30 PM', 'a word behind'],
    ['2024-04-28T25:00', 'hour 25'],
    ['2024-04-28T24:01', 'past the end of the day'],
    ['2024-04-28T14:60', 'minute 60'],
    ['2024-06-30T23:59:60Z', 'a leap second'],
    ['2024-04-31T14:30', '31 April'],
    ['2024-13-01T14:30', 'month 13'],
    ['2024-00-10T14:30', 'month 0'],
    ['0204-04-28T14:30', 'year 204'],
    ['9024-04-28T14:30', 'year 9024'],
    ['2024-04-28T14:30+16:00', 'an offset no zone has'],
    ['2024-04-28T14:30+7', 'one digit of offset'],
    ['2024-04-28T14:30:', 'colon without seconds'],
    ['2024-04-28T14:30:05.', 'point without fraction'],
    ['2024-04-28X14:30', 'another letter'],
  ])('does not read %j (%s)', (text) => {
    expect(readTime(text, london)).toEqual({ kind: 'unreadable' });
  });
});

describe('the two nights of the year', () => {
  it('London, 31 March 2024: 01:00 to 01:59 does not exist', () => {
    expect(exact('2024-03-31T00:59')).toBe('2024-03-31T00:59');
    expect(exact('2024-03-31T01:00')).toBe('nonexistent');
    expect(exact('2024-03-31T01:59:59')).toBe('nonexistent');
    expect(exact('2024-03-31T02:00')).toBe('2024-03-31T01:00');
    expect(exact('2024-03-31T01:30+00:00')).toBe('2024-03-31T01:30');
  });

  it('London, 27 October 2024: 01:00 to 01:59 comes twice and is taken as the middle, give or take 60 min', () => {
    expect(exact('2024-10-27T00:59')).toBe('2024-10-26T23:59');
    expect(readTime('2024-10-27T01:30', london)).toEqual({
      kind: 'ambiguous',
      timeMs: Date.UTC(2024, 9, 27, 1, 0),
      giveOrTakeMin: 60,
      earlierMs: Date.UTC(2024, 9, 27, 0, 30),
      laterMs: Date.UTC(2024, 9, 27, 1, 30),
    });
    expect(readTime('2024-10-27T01:00', london).kind).toBe('ambiguous');
    expect(readTime('2024-10-27T01:59:59', london).kind).toBe('ambiguous');
    expect(exact('2024-10-27T02:00')).toBe('2024-10-27T02:00');
  });

  it('Denver, 10 March and 3 November 2024', () => {
    expect(exact('2024-03-10T02:30', denver)).toBe('nonexistent');
    expect(exact('2024-03-10T03:00', denver)).toBe('2024-03-10T09:00');
    expect(readTime('2024-11-03T01:30', denver)).toMatchObject({
      kind: 'ambiguous',
      timeMs: Date.UTC(2024, 10, 3, 8, 0),
      giveOrTakeMin: 60,
    });
    expect(exact('2024-11-03T02:00', denver)).toBe('2024-11-03T09:00');
  });

  it('Lord Howe Island changes by half an hour: half an hour doubled, still give or take 60 min', () => {
    // 7 April 2024: at 02:00 (UTC+11) back to 01:30 (UTC+10:30).
    expect(exact('2024-04-07T01:29', lordHowe)).toBe('2024-04-06T14:29');
    expect(readTime('2024-04-07T01:45', lordHowe)).toMatchObject({
      kind: 'ambiguous',
      timeMs: Date.UTC(2024, 3, 6, 15, 0),
      giveOrTakeMin: 60,
    });
    expect(exact('2024-04-07T02:00', lordHowe)).toBe('2024-04-06T15:30');
    // 6 October 2024: at 02:00 on to 02:30.
    expect(exact('2024-10-06T02:15', lordHowe)).toBe('nonexistent');
    expect(exact('2024-10-06T02:30', lordHowe)).toBe('2024-10-05T15:30');
  });

  it('a whole day that a zone skipped: Apia had no 30 December 2011', () => {
    const apia = zoneClock('Pacific/Apia');
    expect(exact('2011-12-29T23:59', apia)).toBe('2011-12-30T09:59');
    expect(exact('2011-12-30T12:00', apia)).toBe('nonexistent');
    expect(exact('2011-12-31T00:00', apia)).toBe('2011-12-30T10:00');
  });

  it('a whole day that a zone had twice: Kwajalein went the other way over the date line in 1969', () => {
    // 30 September 1969, from UTC+11 to UTC-12 (IANA database).
    const kwajalein = zoneClock('Pacific/Kwajalein');
    expect(readTime('1969-09-30T12:00', kwajalein)).toMatchObject({
      kind: 'ambiguous',
      earlierMs: Date.UTC(1969, 8, 30, 1),
      laterMs: Date.UTC(1969, 9, 1, 0),
      giveOrTakeMin: 690,
    });
  });
});

describe('zoneClock', () => {
  it('knows zones and names what it was given otherwise', () => {
    for (const zone of ['Europe/London', 'UTC', 'Etc/GMT+5', '+05:45']) expect(isTimeZone(zone), zone).toBe(true);
    for (const zone of ['', 'Nowhere/City', 'Europe/', 'PDT8']) expect(isTimeZone(zone), zone).toBe(false);
    expect(() => zoneClock('Nowhere/City')).toThrow(
      new RangeError("zoneClock: 'Nowhere/City' is not a zone of the IANA database, for example Europe/London"),
    );
  });

  it('keeps a fixed zone fixed', () => {
    expect(exact('2024-07-01T12:00', zoneClock('Etc/GMT+7'))).toBe('2024-07-01T19:00');
    expect(exact('2024-07-01T12:00', zoneClock('UTC'))).toBe('2024-07-01T12:00');
  });

  it('gives the date its clock shows', () => {
    expect(localDate(Date.UTC(2024, 6, 1, 3), denver)).toBe('2024-06-30');
    expect(localDate(Date.UTC(2024, 6, 1, 23, 30), london)).toBe('2024-07-02');
  });

  /** Offset at an instant by another way: the parts that the platform's own formatter prints. */
  function formatterOffset(zone: string): (ms: number) => number {
    const formatter = new Intl.DateTimeFormat('en-US', {
      timeZone: zone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    });
    return (ms) => {
      const part = Object.fromEntries(formatter.formatToParts(ms).map(({ type, value }) => [type, Number(value)]));
      return (
        Date.UTC(part.year!, part.month! - 1, part.day!, part.hour!, part.minute!, part.second!) -
        Math.floor(ms / 1000) * 1000
      );
    };
  }

  const ZONES = [
    'Europe/London',
    'America/Denver',
    'America/St_Johns',
    'Australia/Lord_Howe',
    'Asia/Kathmandu',
    'Africa/Casablanca',
    'America/Caracas',
    'Pacific/Apia',
    'Pacific/Auckland',
    'America/Sao_Paulo',
  ];

  it.each(ZONES)('%s: offsets agree with the platform formatter, hour by hour in random order', (zone) => {
    const clock = zoneClock(zone);
    const offset = formatterOffset(zone);
    fc.assert(
      fc.property(fc.integer({ min: Date.UTC(1972, 0, 1), max: Date.UTC(2030, 0, 1) }), (ms) => {
        expect(clock.offsetAt(ms)).toBe(offset(ms));
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it.each(ZONES.slice(0, 6))(
    '%s: every half hour of thirteen months finds the instants that a plain search finds',
    (zone) => {
      const offset = formatterOffset(zone);
      const clock = zoneClock(zone);
      // Plain search: walk through all instants and note which clock reading each shows.
      const shown = new Map<number, number[]>();
      const [from, to] = [Date.UTC(2011, 9, 1), Date.UTC(2012, 10, 20)];
      for (let ms = from; ms < to; ms += 1_800_000) {
        const reading = ms + offset(ms);
        shown.set(reading, [...(shown.get(reading) ?? []), ms]);
      }
      const pair = new Float64Array(2);
      let checked = 0;
      for (
        let reading = from + 2 * 86_400_000 + (offset(from) % 1_800_000);
        reading < to - 2 * 86_400_000;
        reading += 1_800_000
      ) {
        const many = clock.instants(reading, pair);
        const found = Array.from(pair.subarray(0, many));
        const expected = shown.get(reading) ?? [];
        if (found.join() !== expected.join()) expect(found.map(iso), iso(reading)).toEqual(expected.map(iso));
        checked++;
      }
      expect(checked).toBeGreaterThan(19_000);
    },
  );

  it('gives the same answers in any order of asking', () => {
    // Two names of one zone, as a clock is made once for each name.
    const forward = zoneClock('America/Denver');
    const backward = zoneClock('US/Mountain');
    const readings = Array.from({ length: 4000 }, (_, i) => Date.UTC(1960, 0, 1) + i * 5.3 * 86_400_000);
    const pair = new Float64Array(2);
    const ask = (clock: typeof forward, reading: number) => [clock.instants(reading, pair), pair[0]].join(' ');
    const up = readings.map((reading) => ask(forward, reading));
    const down = readings.toReversed().map((reading) => ask(backward, reading));
    expect(down.toReversed()).toEqual(up);
  });
});

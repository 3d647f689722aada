import { expect, it } from 'vitest';
import { clockMs, dateMs, scanIso } from '../../src/series/isoTime.js';

const scanned = (text: string, to: number) => {
  const out = {} as Parameters<typeof scanIso>[3];
  return scanIso(text, 0, to, out) ? out : undefined;
};

it('a time ends where its cell ends, whatever stands behind it', () => {
  const seconds = '2024-04-28T14:30:05';
  expect(scanned(`${seconds}.5`, seconds.length)).toEqual(scanned(seconds, seconds.length));
  expect(scanned(`${seconds}.5`, seconds.length + 2)).not.toEqual(scanned(seconds, seconds.length));
  expect(scanned(seconds, seconds.length - 1)).toBeUndefined();
  expect(scanned('2024-04-28T14:30:00', 19)).toEqual(scanned('2024-04-28T14:30', 16));
});

it('a clock goes from 0:00 to 24:00', () => {
  expect([clockMs(0, 0, 0), clockMs(24, 0, 0)]).toEqual([0, 86_400_000]);
  for (const [hour, minute, second] of [
    [24, 0, 1],
    [25, 0, 0],
    [-1, 0, 0],
    [1, 60, 0],
    [1, 0, 60],
  ])
    expect(clockMs(hour!, minute!, second!)).toBeNaN();
});

it('a date exists where the calendar has it, from 1800 to 2199', () => {
  for (let year = 1795; year <= 2205; year++)
    for (let month = 0; month <= 13; month++)
      for (const day of [0, 1, 2, 27, 28, 29, 30, 31, 32]) {
        const utc = Date.UTC(year, month - 1, day);
        const exists = new Date(utc)
          .toISOString()
          .startsWith(`${[year, month, day].map((n) => `${n}`.padStart(2, '0')).join('-')}T`);
        const wanted = exists && year >= 1800 && year <= 2199 ? utc : NaN;
        if (!Object.is(dateMs(year, month, day), wanted))
          expect([year, month, day, dateMs(year, month, day)]).toBe(wanted);
      }
});

it.each([
  ['2024-04-28T14:30Z', 0],
  ['2024-04-28t14:30z', 0],
  ['2024-04-28 14:30+15', 900],
  ['2024-04-28T14:30:05-15:59', -959],
  ['2024-04-28T14:30:05,5+0545', 345],
  ['2024-04-28T14:30+16', null],
  ['2024-04-28T14:30+05:60', null],
  ['2024-04-28T14:30+5', null],
  ['2024-04-28T14:30+053', null],
  ['2024-04-28T14:30+05-45', null],
  ['2024-04-28T14:30Z0', null],
  ['2024-04-28T14:30:5', null],
  ['2024-04-28T14:30:05.', null],
  ['2024-04-28T14:30:0x', null],
  ['2024-04-28x14:30', null],
  ['2024-04-28T14.30', null],
  ['2024-04-28T14:3', null],
  ['2024/04-28', null],
  ['2024-04/28', null],
])('%s: offset %s min', (text, minutes) =>
  expect(scanned(text, text.length)?.offsetMs ?? null).toBe(minutes === null ? null : minutes * 60_000),
);

it('a fraction of a second is read to the millisecond, and never rounds into the next minute', () => {
  const at = (clock: string) => scanned(`2024-04-28T${clock}`, 11 + clock.length)!.localMs - Date.UTC(2024, 3, 28);
  expect(['00:00:00.25', '00:00:59.9996', '23:59:59.0004', '01:02:03.0455'].map(at)).toEqual([
    250, 59_999, 86_399_000, 3_723_046,
  ]);
});

import { expect, it } from 'vitest';
import { clockMs, scanIso } from '../../src/series/isoTime.js';

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

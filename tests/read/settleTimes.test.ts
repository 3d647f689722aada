import { describe, expect, it } from 'vitest';
import { issueLog } from '../../src/read/issueLog.js';
import { DAY, LOCAL, settleTimes } from '../../src/read/settleTimes.js';
import { zoneClock } from '../../src/series/time.js';

/** Rows as a reader hands them on: a clock reading, a date, or a time with its offset (ends with Z). What comes back: UTC, '-' for a row refused. */
function settled(...written: string[]) {
  const log = issueLog();
  const timesMs = Float64Array.from(written, (text) =>
    Date.parse(text.length === 10 ? `${text}T12:00Z` : text.replace(/Z?$/, 'Z')),
  );
  const kind = Uint8Array.from(written, (text) => (text.endsWith('Z') ? 0 : LOCAL) | (text.length === 10 ? DAY : 0));
  const rows = Int32Array.from(written, (_, i) => i + 2);
  const times = { file: 'f', timesMs, kind, rows, count: written.length, column: 'time' };
  const { dayMeans } = settleTimes(times, zoneClock('Europe/London'), log);
  const utc = [...timesMs].map((ms) => (ms === ms ? new Date(ms).toISOString().slice(0, 16) : '-'));
  return { utc, dayMeans, issues: log.issues().map(({ code, row, count }) => `${code} ${row} ×${count ?? 1}`) };
}

// On 27 October 2024 and 26 October 2025 the clocks of London went from 2:00 summer time back to 1:00.
describe('the doubled hour', () => {
  it.each<[string, readonly string[], readonly string[], readonly string[]]>([
    [
      'forwards, one step back',
      ['2024-10-27T01:00', '2024-10-27T01:30', '2024-10-27T01:00'],
      ['2024-10-27T00:00', '2024-10-27T00:30', '2024-10-27T01:00'],
      ['time-ambiguous 2 ×3'],
    ],
    [
      'backwards, one step on',
      ['2024-10-27T02:30', '2024-10-27T01:00', '2024-10-27T01:30', '2024-10-27T01:00'],
      ['2024-10-27T02:30', '2024-10-27T01:00', '2024-10-27T00:30', '2024-10-27T00:00'],
      ['time-ambiguous 3 ×3'],
    ],
    [
      'two steps back: either could be meant',
      ['2024-10-27T01:00', '2024-10-27T01:30', '2024-10-27T01:00', '2024-10-27T01:30', '2024-10-27T01:00'],
      ['-', '-', '-', '-', '-'],
      ['time-ambiguous 2 ×5'],
    ],
    ['no step back', ['2024-10-27T01:00', '2024-10-27T01:30'], ['-', '-'], ['time-ambiguous 2 ×2']],
    [
      'each year by itself',
      ['2024-10-27T01:30', '2025-10-26T01:00', '2025-10-26T01:00'],
      ['-', '2025-10-26T00:00', '2025-10-26T01:00'],
      ['time-ambiguous 2 ×1', 'time-ambiguous 3 ×2'],
    ],
    [
      'a row that states its offset is no part of it',
      ['2024-10-27T01:00', '2024-10-27T01:30Z', '2024-10-27T01:00'],
      ['-', '2024-10-27T01:30', '-'],
      ['time-ambiguous 2 ×1', 'time-ambiguous 4 ×1'],
    ],
  ])('%s', (_, written, utc, issues) => {
    expect(settled(...written)).toEqual({ utc, issues, dayMeans: false });
  });
});

describe('dates among times of day', () => {
  const hour = ['2024-01-01T06:00', '2024-01-01T07:00'];
  it.each<[string, readonly string[], readonly string[], boolean]>([
    ['fewer', [...hour, '2024-01-02'], ['2024-01-01T06:00', '2024-01-01T07:00', '-'], false],
    ['as many', ['2024-01-01T06:00', '2024-01-02'], ['2024-01-01T06:00', '-'], false],
    ['more', ['2024-01-01T06:00', '2024-01-02', '2024-01-03'], ['-', '2024-01-02T12:00', '2024-01-03T12:00'], true],
    ['only dates', ['2024-07-02', '2024-07-03'], ['2024-07-02T11:00', '2024-07-03T11:00'], true],
  ])('%s: the rarer kind is refused', (_, written, utc, dayMeans) => {
    const issues = utc.flatMap((time, i) => (time === '-' ? [`time-unreadable ${i + 2} ×1`] : []));
    expect(settled(...written)).toEqual({ utc, issues, dayMeans });
  });
});

import { describe, expect, it } from 'vitest';
import { alignVisits, MOST_GRID_BYTES } from '../../src/align/alignVisits.js';
import { knownTimes } from '../../src/align/knownTimes.js';
import type { GaugeRecord } from '../../src/series/gaugeRecord.js';
import { HOUR, makeRecord } from './makeRecord.js';
import { creek, makeVisit, run } from './makeVisits.js';

const DAY = 24 * HOUR;

/** Daily means at noon, doubling each day. */
function daily(days: number): GaugeRecord {
  const record = makeRecord(Array.from({ length: days }, (_, d) => 2 ** d));
  return {
    ...record,
    timesMs: record.timesMs.map((_, d) => record.timesMs[0]! + 12 * HOUR + d * DAY),
    stepMs: DAY,
    maxGapMs: 3 * DAY,
    dayMeans: true,
  };
}

describe('when a reading is known', () => {
  it('a reading of a moment at its moment, a daily mean when its day is over', () => {
    const record = daily(4);
    const known = knownTimes(record);
    expect(Array.from(known.timesMs, (ms, d) => ms - record.timesMs[d]!)).toEqual([
      12 * HOUR,
      12 * HOUR,
      12 * HOUR,
      12 * HOUR,
    ]);
    expect([known.interpolation, known.slopeHours]).toEqual(['previous', 24]);
    const moments = makeRecord([1, 2, 3]);
    expect(knownTimes(moments)).toEqual({ timesMs: moments.timesMs, interpolation: 'ln', slopeHours: 2 });
  });

  it('no day after the decision enters: what is written into it changes nothing at any lag from the lead on', () => {
    const record = daily(8);
    // A visit at 15:00 of day 5: at lag 0 and more only days 0 to 4 are over.
    const visits = [makeVisit('v', 5 * 24 + 15, [{ saw: 1 }])];
    const lagsHours = Array.from({ length: 97 }, (_, i) => i / 2);
    const align = (values: Float64Array) =>
      alignVisits({ creek, run, record: { ...record, values }, visits }, { lagsHours, storagesHours: [-24, 0] });
    const before = align(record.values);
    const later = align(record.values.map((value, d) => (d >= 5 ? 1000 : value)));
    expect(later.x).toEqual(before.x);
    expect(later.slope).toEqual(before.slope);
    // The mean of day 4 stands from its end until the end of day 5; 15 h later is the one before.
    const at = (lag: number) => before.x[lagsHours.length + lagsHours.indexOf(lag)]!;
    expect([at(0), at(15), at(15.5), at(39.5)].map((x) => Math.round(Math.exp(x)))).toEqual([16, 16, 8, 4]);
  });

  it('the limb of daily values is the change from the day before', () => {
    const record = daily(8);
    const values = record.values.map((_, d) => (d < 4 ? 10 : 10 * 40 ** (d - 3)));
    const visits = [makeVisit('before', 3 * 24 + 15, [{ saw: 1 }]), makeVisit('after', 6 * 24 + 15, [{ saw: 1 }])];
    const { limb } = alignVisits({ creek, run, record: { ...record, values }, visits });
    expect(Array.from(limb)).toEqual([0, 1]);
  });
});

describe('a grid that would not fit into memory', () => {
  it('is refused with what it would need and what to do', () => {
    const visits = Array.from({ length: 200 }, (_, i) => makeVisit(`v${i}`, 50 + i / 10, [{ saw: 1 }]));
    const lagsHours = Array.from({ length: 20_001 }, (_, i) => i / 1000);
    const storagesHours = Array.from({ length: 10 }, (_, i) => i);
    const record = makeRecord(Array.from({ length: 200 }, () => 5));
    expect(() => alignVisits({ creek, run, record, visits }, { lagsHours, storagesHours })).toThrow(
      new RangeError(
        'alignVisits: 200 sightings of 200 visits on 200010 lags and storages need 961 MB, more than 600: narrow lagHours or storageHours, or leave out old seasons',
      ),
    );
    expect(MOST_GRID_BYTES).toBe(600_000_000);
  });
});

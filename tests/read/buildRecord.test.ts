import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { build, HOUR, pairs, part, said } from './recordExample.js';

describe('buildRecord', () => {
  it('a clean series comes through as it is', () => {
    const { record, issues } = build(
      [
        part([
          [0, 1],
          [1, 2],
          [2, 3],
        ]),
      ],
      { distanceKm: 4, catchmentAreaKm2: 50 },
    );
    expect(issues).toEqual([]);
    expect(record).toMatchObject({
      kind: 'gauge-record',
      gauge: 'big',
      name: 'Big river',
      parameter: 'discharge',
      unit: 'm3/s',
      stepMs: HOUR,
      maxGapMs: 3 * HOUR,
      distanceKm: 4,
      catchmentAreaKm2: 50,
      approval: { approved: 0, provisional: 0, unknown: 3 },
      codes: { '': 3 },
    });
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, 2],
      [2, 3],
    ]);
    expect(Object.isFrozen(record)).toBe(true);
  });

  it('missing, refused and unreadable readings stay as barriers and are listed by run', () => {
    const rows = [
      [0, 1, 'A'],
      [1, NaN, 'P:Ice'],
      [2, NaN, 'P:Ice'],
      [3, 5, 'P:Ice'],
      [4, NaN, ''],
      [5, NaN, ''],
      [6, NaN, 'A'],
      [7, 2, 'A:e'],
    ] as const;
    const { record, issues } = build([part(rows, 'a', { unreadable: new Map([[5, 'n/a']]), column: '7_00060' })], {
      refuse: ['e'],
    });
    expect(pairs(record).map(([, value]) => value)).toEqual([1, NaN, NaN, NaN, NaN, NaN, NaN, NaN]);
    expect(said(issues)).toEqual([
      "warning a row 12, column 7_00060: found no value, code 'P:Ice', expected a reading (2 rows). The gauge is affected by ice. From 2024-01-01T01:00Z to 2024-01-01T02:00Z.",
      "warning a row 14, column 7_00060: found a reading with code 'P:Ice', expected a reading that can be used. The gauge is affected by ice. At 2024-01-01T03:00Z.",
      'warning a row 15, column 7_00060: found no value, expected a reading. At 2024-01-01T04:00Z.',
      'warning a row 16, column 7_00060: found \'n/a\', expected a number. If this text means "no value", add it to missing of the gauge in creek.json; check decimalMark too. At 2024-01-01T05:00Z.',
      "warning a row 17, column 7_00060: found no value, code 'A', expected a reading. At 2024-01-01T06:00Z.",
      "warning a row 18, column 7_00060: found a reading with code 'A:e', expected a reading that can be used. Code 'e' is refused in creek.json. At 2024-01-01T07:00Z.",
    ]);
    expect(record!.codes).toEqual({ '': 2, A: 2, 'A:e': 1, 'P:Ice': 3 });
  });

  it('codes of other agencies mean what creek.json says and nothing else', () => {
    const rows = [
      [0, 1, 'Ice'],
      [1, 2, 'G;WR'],
      [2, 3, 'S'],
    ] as const;
    const { record } = build([part(rows)], { format: 'delimited', refuse: ['S', 'WR'] });
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, NaN],
      [2, NaN],
    ]);
  });

  it('approval is counted over the readings used, where the codes tell it', () => {
    const rows = [
      [0, 1, 'A'],
      [1, 2, 'A:e'],
      [2, 3, 'P'],
      [3, NaN, 'A'],
      [4, 4, ''],
    ] as const;
    expect(build([part(rows, 'a', { tellsApproval: true })]).record!.approval).toEqual({
      approved: 2,
      provisional: 1,
      unknown: 1,
    });
    expect(build([part(rows)]).record!.approval).toEqual({ approved: 0, provisional: 0, unknown: 4 });
  });

  it('a file out of order is put in order, and noted once', () => {
    const { record, issues } = build([
      part([
        [2, 3],
        [0, 1],
        [3, 4],
        [1, 2],
      ]),
    ]);
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, 2],
      [2, 3],
      [3, 4],
    ]);
    expect(said(issues)).toEqual([
      'note a row 12: found a row earlier than the one before it, and 1 more, expected rows in time order. They are put in order.',
    ]);
  });

  it('several files in any order make one record without a word', () => {
    const { record, issues } = build([
      part(
        [
          [4, 5],
          [5, 6],
        ],
        'b',
      ),
      part(
        [
          [0, 1],
          [1, 2],
        ],
        'a',
      ),
    ]);
    expect(issues).toEqual([]);
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, 2],
      [4, 5],
      [5, 6],
    ]);
  });

  it('the same reading twice counts once; the file and row of the second are noted', () => {
    const { record, issues } = build([
      part(
        [
          [0, 1],
          [1, 2],
        ],
        'a',
      ),
      part(
        [
          [1, 2],
          [2, 3],
        ],
        'b',
      ),
    ]);
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, 2],
      [2, 3],
    ]);
    expect(said(issues)).toEqual([
      'note b row 11: found the same reading for the same time, expected each time once. It is used once.',
    ]);
  });

  it('two readings of one time that differ are both refused and leave a barrier', () => {
    const { record, issues } = build([
      part([
        [0, 1],
        [1, 2],
        [1, 2.5],
        [2, 3],
      ]),
    ]);
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, NaN],
      [2, 3],
    ]);
    expect(said(issues)).toEqual([
      'warning a row 12: found another reading for the same time, expected each time once (2 rows). None of the readings of that time is used. Remove the wrong one; if the file keeps local time, check timeZone.',
    ]);
  });

  it('a reading beside a missing one of the same time is used; three that do not all agree are not', () => {
    const { record } = build([
      part([
        [0, NaN],
        [0, 1],
        [1, 2],
        [1, 2],
        [1, 3],
        [2, NaN],
        [2, NaN],
      ]),
    ]);
    expect(pairs(record)).toEqual([
      [0, 1],
      [1, NaN],
      [2, NaN],
    ]);
  });

  it('zero and negative discharge stay and are noted, folded; a stage may be negative', () => {
    const rows = [
      [0, 1],
      [1, 0],
      [2, -3],
      [3, 0],
      [4, 1],
    ] as const;
    const { record, issues } = build([part(rows)]);
    expect(pairs(record).map(([, value]) => value)).toEqual([1, 0, -3, 0, 1]);
    expect(said(issues)).toEqual([
      'note a row 12: found a discharge of zero or below, expected a discharge above 0 (3 rows). It stays in the record and is left out of the fit, which is on a log scale.',
    ]);
    expect(build([part(rows)], { parameter: 'stage', unit: 'm' }).issues).toEqual([]);
  });

  it('rows of formats without lines are placed by their time', () => {
    const { issues } = build([
      part(
        [
          [0, 1],
          [1, NaN],
        ],
        'a',
        { rows: Int32Array.of(0, 0) },
      ),
    ]);
    expect(said(issues)).toEqual(['warning a: found no value, expected a reading. At 2024-01-01T01:00Z.']);
  });

  it('daily values bridge three days, and maxGapHours wins', () => {
    const daily = [
      part([
        [12, 1],
        [36, 2],
        [60, 3],
      ]),
    ];
    expect(build(daily).record).toMatchObject({ stepMs: 24 * HOUR, maxGapMs: 72 * HOUR });
    expect(build(daily, { maxGapHours: 30 }).record!.maxGapMs).toBe(30 * HOUR);
  });

  it('one row has no step; no row is fatal', () => {
    expect(build([part([[0, 1]])]).record).toMatchObject({ stepMs: NaN, maxGapMs: 2 * HOUR });
    const { record, issues } = build([part([], 'a'), part([], 'b')]);
    expect(record).toBeUndefined();
    expect(said(issues)).toEqual([
      "fatal a, b: found no row with a time, expected readings of gauge 'big'. Download the file again, or check format and columns in creek.json.",
    ]);
  });

  it('agrees with a plain loop on random files, and accounts for every row', () => {
    const row = fc.tuple(
      fc.integer({ min: 0, max: 12 }),
      fc.constantFrom(NaN, 0, 1, 2),
      fc.constantFrom('', 'A', 'P:Ice', 'e'),
    );
    fc.assert(
      fc.property(fc.array(fc.array(row, { maxLength: 12 }), { minLength: 1, maxLength: 3 }), (files) => {
        const parts = files.map((rows, f) => part(rows, `f${f}`));
        const { record } = build(parts, { refuse: ['e'] });
        const readings = new Map<number, Set<number>>();
        for (const [hour, value, code] of files.flat()) {
          const seen = readings.get(hour) ?? new Set();
          if (value === value && code !== 'e' && code !== 'P:Ice') seen.add(value);
          readings.set(hour, seen);
        }
        const plain = [...readings]
          .sort(([a], [b]) => a - b)
          .map(([hour, seen]) => [hour, seen.size === 1 ? [...seen][0] : NaN]);
        expect(record === undefined ? [] : pairs(record)).toEqual(plain);
      }),
      { seed: 11, numRuns: 1000 },
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildRecord, type BuiltRecord } from '../../src/read/buildRecord.js';
import { chooseSeries } from '../../src/read/chooseSeries.js';
import { deriveRecord } from '../../src/read/deriveRecord.js';
import { readGauge } from '../../src/read/readGauge.js';
import type { DerivedGauge, Gauge } from '../../src/series/creek.js';
import type { GaugeRecord, RawSeries } from '../../src/series/gaugeRecord.js';
import { issueSentence, type Issue } from '../../src/series/issue.js';
import { expectClose } from '../expectClose.js';
import { textFile } from './creekExample.js';

const HOUR = 3_600_000;
const T0 = Date.UTC(2024, 0, 1);
const gauge: Gauge = {
  id: 'big',
  name: 'Big river',
  parameter: 'discharge',
  unit: 'm3/s',
  files: ['a'],
  format: 'rdb',
};
const sentences = (issues: readonly Issue[]) => issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`);

/** A series from `[hour, value, code]` rows; rows of the file count from 11. */
function series(rows: readonly (readonly [number, number, string?])[], more: Partial<RawSeries> = {}): RawSeries {
  return {
    key: 'k',
    timesMs: Float64Array.from(rows, ([hour]) => T0 + hour * HOUR),
    values: Float64Array.from(rows, ([, value]) => value),
    codes: rows.map(([, , code]) => code ?? ''),
    rows: Int32Array.from(rows, (_, i) => i + 11),
    ...more,
  };
}
const part = (rows: readonly (readonly [number, number, string?])[], file = 'a', more: Partial<RawSeries> = {}) => ({
  file,
  series: series(rows, more),
});
const pairs = (record: GaugeRecord | undefined) =>
  Array.from(record!.timesMs, (ms, i) => [(ms - T0) / HOUR, record!.values[i]]);

const LOST = new Set(['value-missing', 'value-unreadable', 'value-refused', 'duplicate-time']);
function accountFor({ record, issues, rowsIn, rowsUsed }: BuiltRecord): void {
  const listed = issues.filter((issue) => LOST.has(issue.code)).reduce((sum, issue) => sum + (issue.count ?? 1), 0);
  expect(rowsUsed + listed).toBe(rowsIn);
  expect(record === undefined ? 0 : record.values.filter((value) => value === value).length).toBe(rowsUsed);
}
function build(parts: Parameters<typeof buildRecord>[1], more: Partial<Gauge> = {}): BuiltRecord {
  const built = buildRecord({ ...gauge, ...more }, parts);
  accountFor(built);
  return built;
}

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
    expect(sentences(issues)).toEqual([
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
    expect(sentences(issues)).toEqual([
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
    expect(sentences(issues)).toEqual([
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
    expect(sentences(issues)).toEqual([
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
    expect(sentences(issues)).toEqual([
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
    expect(sentences(issues)).toEqual(['warning a: found no value, expected a reading. At 2024-01-01T01:00Z.']);
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
    expect(sentences(issues)).toEqual([
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

describe('chooseSeries', () => {
  const one = (key: string, more: Partial<RawSeries> = {}) => series([[0, 1]], { key, ...more });
  const choose = (all: readonly RawSeries[], more: Partial<Gauge> = {}) => {
    const { series: chosen, issues } = chooseSeries('f', all, { ...gauge, ...more });
    expect(chosen === undefined).toBe(issues.length > 0);
    return chosen?.key ?? sentences(issues)[0];
  };

  it('takes the only one', () => {
    expect(choose([one('a')])).toBe('a');
    expect(choose([one('a', { unitText: 'm³/s' })])).toBe('a');
  });
  it('takes the only one of the parameter, where the file tells', () => {
    const all = [
      one('q', { parameterCode: '00060', unitText: 'ft3/s' }),
      one('h', { parameterCode: '00065', unitText: 'ft' }),
      one('t', { unitText: 'degrees Celsius' }),
    ];
    expect(choose(all, { unit: 'ft3/s' })).toBe('q');
    expect(choose(all, { unit: 'ft', parameter: 'stage' })).toBe('h');
  });
  it('knows the parameter by its code where no unit is written', () => {
    const all = [
      one('q', { parameterCode: '00060' }),
      one('h', { parameterCode: '00065' }),
      one('t', { parameterCode: '00010' }),
    ];
    expect(choose(all, { unit: 'ft3/s' })).toBe('q');
    expect(choose(all)).toBe(
      "fatal f: found series 'q' in ft3/s, expected m3/s, as gauge 'big' has it in creek.json. Correct unit and parameter in creek.json, or name another series; readings are never scaled in silence.",
    );
  });
  it('several left is fatal and lists them with a line to add', () => {
    const all = [one('01 x', { site: '01', unitText: 'm3/s' }), one('02 x', { site: '02', unitText: 'm3/s' })];
    expect(choose(all)).toBe(
      'fatal f: found 2 series: \'01 x\', \'02 x\', expected one. Add series to gauge \'big\' in creek.json, for example "series": { "site": "01" }.',
    );
    expect(choose(all, { series: { site: '02' } })).toBe('02 x');
    expect(choose(all, { series: { column: '01 x' } })).toBe('01 x');
    expect(choose([one('m [0]', { site: '01' }), one('m [1]', { site: '01' })])).toContain(
      '"series": { "column": "m [0]" }',
    );
  });
  it('mean, maximum and minimum are not taken for each other', () => {
    const all = ['00001', '00002', '00003'].map((statisticCode) =>
      one(statisticCode, { site: '01', parameterCode: '00060', statisticCode }),
    );
    expect(choose(all, { unit: 'ft3/s' })).toContain('"series": { "statisticCode": "00001" }');
    expect(choose(all, { unit: 'ft3/s', series: { statisticCode: '00003' } })).toBe('00003');
  });
  it('none left is fatal and lists what there is', () => {
    expect(choose([one('a'), one('b')], { series: { site: '9', parameterCode: '00060' } })).toBe(
      "fatal f: found series 'a', 'b', expected one with site '9' and parameterCode '00060'. Correct series of gauge 'big' in creek.json.",
    );
    expect(choose([])).toBe('fatal f: found no series, expected a time series. Download the file again.');
  });
  it('another unit is fatal, also when it could be converted', () => {
    expect(choose([one('a', { unitText: 'l/s' })])).toContain("found series 'a' in l/s, expected m3/s");
    expect(choose([one('a', { unitText: 'deg C' })])).toContain("found series 'a' in deg C, expected m3/s");
  });
});

describe('readGauge', () => {
  const csv: Gauge = {
    ...gauge,
    format: 'delimited',
    columns: { time: 'time', value: 'value' },
    files: ['a.csv', 'b.csv'],
  };
  it('joins files, counts lost rows, and says which file is missing', () => {
    const a = textFile('a.csv', 'time,value\n2024-01-01T00:00Z,1\nsoon,2\n2024-01-01T01:00Z,x\n');
    const b = textFile('b.csv', 'time,value\n2024-01-01T02:00Z,3\n');
    const both = readGauge(csv, [b, a], 'UTC');
    expect(pairs(both.record)).toEqual([
      [0, 1],
      [1, NaN],
      [2, 3],
    ]);
    expect([both.rowsIn, both.rowsUsed]).toEqual([4, 2]);
    expect(both.issues.map((issue) => issue.code)).toEqual(['time-unreadable', 'value-unreadable']);
    const one = readGauge(csv, [a], 'UTC');
    expect(one.record).toBeUndefined();
    expect(sentences(one.issues).at(-1)).toBe(
      "fatal b.csv: found no such file, expected a file of gauge 'big'. Put the download there, or correct files in creek.json.",
    );
  });
  it('does not join files of different sites', () => {
    const rdb = (site: string) =>
      textFile(
        `${site}.rdb`,
        `agency_cd\tsite_no\tdatetime\ttz_cd\t1_00060\t1_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\nX\t${site}\t2024-01-01 00:00\tUTC\t1\tA\n`,
      );
    const built = readGauge({ ...gauge, unit: 'ft3/s', files: ['01.rdb', '02.rdb'] }, [rdb('01'), rdb('02')], 'UTC');
    expect(built.record).toBeUndefined();
    expect(sentences(built.issues)).toEqual([
      "fatal 02.rdb: found series '02 1_00060', where 01.rdb has '01 1_00060', expected one series in all files of gauge 'big'. Give each series a gauge of its own in creek.json.",
    ]);
  });
});

describe('deriveRecord', () => {
  const recordOf = (id: string, rows: readonly (readonly [number, number, string?])[], more: Partial<Gauge> = {}) =>
    build([part(rows, id, { tellsApproval: true })], { id, ...more }).record!;
  const derive = (more: Partial<DerivedGauge>, ...records: GaugeRecord[]) =>
    deriveRecord(
      { id: 'd', name: 'Derived', kind: 'sum', of: records.map((record) => record.gauge), ...more } as DerivedGauge,
      records,
    );
  const big = recordOf('big', [
    [0, 10],
    [1, 12],
    [2, 14],
    [3, NaN],
    [4, 20],
    [5, 22],
  ]);

  it('sums on the first clock, linear in time between the other’s readings', () => {
    const half = recordOf('half', [
      [-0.5, 1],
      [0.5, 3],
      [1.5, 5],
      [2.5, 7],
      [4.5, 11],
    ]);
    const { record, issues } = derive({}, big, half);
    expect(pairs(record)).toEqual([
      [0, 12],
      [1, 16],
      [2, 20],
      [3, NaN],
      [4, 30],
      [5, NaN],
    ]);
    expect(record).toMatchObject({
      gauge: 'd',
      name: 'Derived',
      parameter: 'discharge',
      unit: 'm3/s',
      stepMs: HOUR,
      codes: {},
    });
    expect(sentences(issues)).toEqual([
      "note creek.json, column derivedGauges 'd': found readings of 'big' with none of the others near enough, expected readings of all.",
    ]);
  });

  it('never interpolates across a missing reading or a wide gap', () => {
    const holed = recordOf(
      'holed',
      [
        [0, 1],
        [0.5, NaN],
        [1.5, 1],
        [2, 1],
        [6.5, 1],
      ],
      { maxGapHours: 2 },
    );
    expect(pairs(derive({}, big, holed).record).map(([, value]) => value)).toEqual([11, NaN, 15, NaN, NaN, NaN]);
  });

  it('a difference may fall to zero and below, and is noted', () => {
    const branch = recordOf('branch', [
      [0, 4],
      [1, 12],
      [2, 15],
      [3, 15],
      [4, 15],
      [5, 15],
    ]);
    const { record, issues } = derive({ kind: 'difference' }, big, branch);
    expect(pairs(record)).toEqual([
      [0, 6],
      [1, 0],
      [2, -1],
      [3, NaN],
      [4, 5],
      [5, 7],
    ]);
    expect(sentences(issues)).toEqual([
      "note creek.json, column derivedGauges 'd': found a derived discharge of zero or below, first at 2024-01-01T01:00Z, expected a discharge above 0 (2 rows). It stays in the record and is left out of the fit. Check travelHours and the gauges: more water seems to come from one branch than passes below.",
    ]);
  });

  it('travel time looks back at the upstream gauge', () => {
    const branch = recordOf('branch', [
      [-2, 1],
      [-1, 2],
      [0, 3],
      [1, 4],
      [2, 5],
      [3, 6],
    ]);
    expect(pairs(derive({ kind: 'difference', travelHours: [0, 2] }, big, branch).record)).toEqual([
      [0, 9],
      [1, 10],
      [2, 11],
      [3, NaN],
      [4, 15],
      [5, 16],
    ]);
    expect(pairs(derive({ travelHours: [0, 1.5] }, big, branch).record)[1]).toEqual([1, 14.5]);
  });

  it('scales by area, moved by the travel time', () => {
    const scaled = { ...big, catchmentAreaKm2: 50 };
    const { record } = derive({ kind: 'area-scaled', catchmentAreaKm2: 25, travelHours: [3] }, scaled);
    expect(pairs(record)).toEqual([
      [3, 5],
      [4, 6],
      [5, 7],
      [6, NaN],
      [7, 10],
      [8, 11],
    ]);
    expect(record!.catchmentAreaKm2).toBe(25);
    expect(() => derive({ kind: 'area-scaled', catchmentAreaKm2: 20 }, big)).toThrow(
      new RangeError("deriveRecord: 'd' is scaled by area and needs catchmentAreaKm2 of both gauges, above 0"),
    );
  });

  it('converts units to the first gauge’s', () => {
    const feet = recordOf(
      'feet',
      [
        [0, 100],
        [1, 100],
        [2, 100],
        [4, 100],
        [5, 100],
      ],
      { unit: 'ft3/s' },
    );
    const [[, first]] = pairs(derive({}, big, feet).record) as [[number, number]];
    expectClose(first, 10 + 2.8316846592, { rel: 1e-15, why: '100 ft³/s is 2.8316846592 m³/s exactly (NIST SP 811)' });
  });

  it('is as approved as the worst record it comes from', () => {
    const rows = (code: string) =>
      [
        [0, 1, code],
        [1, 1, code],
      ] as const;
    const [approved, provisional, unknown] = [
      recordOf('a', rows('A')),
      recordOf('p', rows('P')),
      recordOf('u', rows('')),
    ];
    expect(derive({}, approved, approved).record!.approval).toEqual({ approved: 2, provisional: 0, unknown: 0 });
    expect(derive({}, approved, provisional).record!.approval).toEqual({ approved: 0, provisional: 2, unknown: 0 });
    expect(derive({}, approved, unknown).record!.approval).toEqual({ approved: 0, provisional: 0, unknown: 2 });
  });

  it('is not made where a gauge could not be read', () => {
    const { record, issues } = deriveRecord({ id: 'd', name: 'D', kind: 'sum', of: ['big', 'gone'] }, [big], {
      file: 'x/creek.json',
    });
    expect(record).toBeUndefined();
    expect(sentences(issues)).toEqual([
      "fatal x/creek.json, column derivedGauges 'd': found no record of gauge 'gone', expected a record of every gauge it is made of.",
    ]);
  });

  it('agrees with a plain search on random clocks', () => {
    const clock = fc
      .uniqueArray(fc.integer({ min: 0, max: 40 }), { minLength: 2, maxLength: 20 })
      .map((hours) => hours.sort((a, b) => a - b));
    fc.assert(
      fc.property(
        clock,
        clock,
        fc.integer({ min: -5, max: 5 }),
        fc.integer({ min: 0, max: 9 }),
        (first, other, travel, hole) => {
          const one = recordOf(
            'one',
            first.map((hour) => [hour, 100] as const),
          );
          const two = recordOf(
            'two',
            other.map((hour, i) => [hour, i === hole ? NaN : hour * hour + 1] as const),
            { maxGapHours: 4 },
          );
          const { record } = derive({ travelHours: [0, travel] }, one, two);
          const plain = first.map((hour) => {
            const at = hour - travel;
            const exact = other.indexOf(at);
            if (exact >= 0) return 100 + (exact === hole ? NaN : at * at + 1);
            const right = other.findIndex((candidate) => candidate > at);
            if (right < 1 || other[right]! - other[right - 1]! > 4 || right === hole || right - 1 === hole) return NaN;
            const [a, b] = [other[right - 1]!, other[right]!];
            return 100 + (a * a + 1) + ((b * b - a * a) * (at - a)) / (b - a);
          });
          pairs(record).forEach(([, value], i) => {
            if (plain[i] !== plain[i]) expect(value).toBe(NaN);
            else expectClose(value!, plain[i]!, { rel: 1e-12, why: 'same straight line, another order of operations' });
          });
        },
      ),
      { seed: 5, numRuns: 500 },
    );
  });
});

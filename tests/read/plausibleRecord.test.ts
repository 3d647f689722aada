import { describe, expect, it } from 'vitest';
import { createRandom } from '../../src/kernel/random.js';
import { plausibleRecord } from '../../src/read/plausibleRecord.js';
import { readingSlips } from '../../src/read/readingSlips.js';
import type { Parameter } from '../../src/series/units.js';
import type { Visit } from '../../src/series/visits.js';
import { build, HOUR, T0 } from './recordExample.js';

/** 90 days of hourly water: a base that wanders, and a flood a week that rises within an hour and recedes over two days. */
function water(parameter: Parameter, seed = 1): Float64Array {
  const random = createRandom(seed);
  let base = 0;
  let flood = 0;
  return Float64Array.from({ length: 90 * 24 }, (_, h) => {
    base = 0.99 * base + 0.03 * random.normal();
    flood = h % 168 === 100 ? 0.8 + 0.8 * random.uniform() : 0.97 * flood;
    const ln = 1 + base + flood;
    return parameter === 'discharge' ? Math.exp(ln) : 0.3 * ln;
  });
}
const times = Float64Array.from({ length: 90 * 24 }, (_, h) => T0 + h * HOUR);
const seen = (values: Float64Array, parameter: Parameter = 'discharge') =>
  plausibleRecord({ timesMs: times, values, parameter });
const from = (values: Float64Array, at: number, change: (v: number) => number) =>
  values.map((v, i) => (i >= at ? change(v) : v));
const AT = 50 * 24;

describe('plausibleRecord', () => {
  it.each(['discharge', 'stage'] as const)('%s: floods are water, and nothing is said', (parameter) => {
    for (let seed = 1; seed <= 5; seed++)
      expect(seen(water(parameter, seed), parameter)).toEqual({ refused: [], jumps: [], issues: [] });
  });

  it.each([35.3147, 1 / 35.3147, 1000, 0.1])(
    'a discharge times %f from one row on: the jump, its factor, and only what follows',
    (by) => {
      const values = from(water('discharge'), AT, (v) => v * by);
      const { refused, jumps, issues } = seen(values);
      expect(jumps.map(({ timeMs, before, after }) => [timeMs, before, after])).toEqual([
        [times[AT], values[AT - 1], values[AT]],
      ]);
      expect(jumps[0]!.factor! / by).toBeCloseTo(1, 12);
      expect(refused).toEqual(Array.from({ length: AT }, (_, i) => i));
      expect(issues.map(({ code, at, count }) => [code, at, count])).toEqual([
        ['record-jump', AT, undefined],
        ['value-refused', 0, AT],
      ]);
      expect(issues[0]!.hint).toContain('the unit seems to have changed. No reading before it is used.');
    },
  );

  it('a stage whose zero moves, either way', () => {
    for (const by of [6, -1.2]) {
      const { jumps, refused } = seen(
        from(water('stage'), AT, (v) => v + by),
        'stage',
      );
      expect([jumps.map(({ timeMs }) => timeMs), refused.length]).toEqual([[times[AT]], AT]);
    }
  });

  it('water falls slowly: a sudden fall is noticed where as large a rise may be a flood', () => {
    const stage = water('stage');
    const found = [-0.8, 0.8].map((by) => seen(from(stage, AT, (v) => v + by), 'stage').jumps.map(({ timeMs }) => timeMs)); // prettier-ignore
    expect(found).toEqual([[times[AT]], []]);
  });

  it('a flood just before or after does not hide a factor of ten', () => {
    for (const at of [105, 110, 120].map((h) => h + 8 * 168)) {
      const { jumps } = seen(from(water('discharge'), at, (v) => 10 * v));
      expect(jumps.map(({ timeMs, factor }) => [timeMs, factor])).toEqual([[times[at], 10]]);
    }
  });

  it('a change that goes by within a day or over a winter without readings is no jump', () => {
    const values = water('discharge');
    expect(seen(values.map((v, i) => (i >= AT && i < AT + 20 ? 35 * v : v))).jumps).toEqual([]);
    const winter = Float64Array.from(times, (t, i) => (i >= AT ? t + 100 * 24 * HOUR : t));
    const moved = from(values, AT, (v) => 35.3 * v);
    expect(plausibleRecord({ timesMs: winter, values: moved, parameter: 'discharge' }).jumps).toEqual([]);
  });

  it('a record that jumps often is used as it is, with a note each', () => {
    const values = water('stage').map((v, i) => v + 6 * (Math.floor(i / 384) % 2));
    const { jumps, refused, issues } = seen(values, 'stage');
    expect([jumps.length > 4, refused]).toEqual([true, []]);
    expect(issues.every(({ code, severity }) => code === 'record-jump' && severity === 'note')).toBe(true);
  });

  it('a short record of days knows a jump too', () => {
    const days = Float64Array.from({ length: 60 }, (_, d) => T0 + d * 24 * HOUR);
    const values = days.map((_, d) => (d < 40 ? 3 : 3000) * (1 + 0.1 * Math.sin(d)));
    expect(plausibleRecord({ timesMs: days, values, parameter: 'discharge' }).jumps).toHaveLength(1);
  });

  it('numbers for no value and spikes are refused; a flood of 999 is one', () => {
    const values = water('discharge');
    values.set([99999], 30);
    values.set([-9999], 31);
    values.set([400 * values[700]!], 700);
    const { refused, issues } = seen(values);
    expect(refused).toEqual([30, 31, 700]);
    expect(issues.map(({ code, severity }) => `${severity} ${code}`)).toEqual(Array(3).fill('warning value-refused'));
    expect(issues[0]!.hint).toContain('add it to missing of the gauge');
    const large = water('discharge').map((v) => 100 * v);
    large[100] = 999;
    expect(seen(large).refused).toEqual([]);
  });

  it('a value that stands still for ten days is noted, the lowest of a dry bed is not', () => {
    const values = water('discharge');
    values.fill(4.5, 400, 400 + 241);
    const { refused, issues } = seen(values);
    expect([refused, issues.map(({ code, at }) => [code, at])]).toEqual([[], [['values-repeat', 400]]]);
    values.fill(0.01, 400, 400 + 241);
    expect(seen(values).issues.filter(({ code }) => code === 'values-repeat')).toEqual([]);
  });

  it('a record says it, row by row, and counts what it does not use', () => {
    const values = from(water('discharge'), AT, (v) => v / 35.3147);
    const rows = Array.from(values, (v, h) => [h, v] as const);
    const { record, issues, rowsUsed } = build([{ file: 'a', series: seriesOf(rows) }]);
    expect(rowsUsed).toBe(values.length - AT);
    expect(record!.jumps![0]!.factor).toBeCloseTo(1 / 35.3147, 12);
    expect(record!.values.findIndex((v) => v === v)).toBe(AT);
    expect(issues.map(({ code, row, count }) => [code, row, count])).toEqual([
      ['record-jump', AT + 11, undefined],
      ['value-refused', 11, AT],
    ]);
  });
});

function seriesOf(rows: readonly (readonly [number, number])[]) {
  return {
    key: 'k',
    timesMs: Float64Array.from(rows, ([hour]) => T0 + hour * HOUR),
    values: Float64Array.from(rows, ([, value]) => value),
    codes: rows.map(() => ''),
    rows: Int32Array.from(rows, (_, i) => i + 11),
  };
}

describe('readingSlips', () => {
  const staff = [{ id: 'staff', name: 'staff', unit: 'cm' }];
  const visits = (values: readonly number[]): Visit[] => [
    {
      id: 'v',
      run: 'main',
      timeMs: 0,
      sightings: values.map((value, i) => ({
        row: i + 2,
        timeMs: 0,
        giveOrTakeMin: 0,
        run: 'main',
        feature: 'staff',
        classIndex: -1,
        value,
        observer: 'Ann',
        note: '',
      })),
    },
  ];
  const sound = [30, 34, 38, 41, 45, 50.1, 52, 58, 63];

  it('names a lost decimal mark, a moved one and a sign', () => {
    expect(readingSlips('visits.csv', visits(sound), staff)).toEqual([]);
    const slips = readingSlips('visits.csv', visits([...sound, 445, 4.1, -44, 0.52]), staff);
    expect(slips.map(({ code, severity, row, hint }) => [code, severity, row, hint!.split(' would')[0]])).toEqual([
      ['reading-slip', 'note', 11, '44.5'],
      ['reading-slip', 'note', 13, '44'],
    ]);
  });

  it('says nothing of numbers that no slip explains, or of few', () => {
    expect(readingSlips('visits.csv', visits([...sound, 7e7]), staff)).toEqual([]);
    expect(readingSlips('visits.csv', visits([30, 34, 445]), staff)).toEqual([]);
  });
});

import { expect, expectTypeOf, test } from 'vitest';
import { table, tableMeaning, texts, tidy } from '../../src/tell/table.js';

interface Lag {
  readonly gauge: string;
  readonly hours: number | null;
  readonly i80: readonly [number | null, number | null];
  readonly right: number;
  readonly edge: number;
  readonly unit: string;
  readonly seenMs: number;
  readonly kept: boolean;
}

const lag = (more: Partial<Lag> = {}): Lag => ({
  gauge: 'mill',
  hours: 2.6,
  i80: [2.1, 3.1],
  right: 0.68,
  edge: 1234.5,
  unit: 'ft3/s',
  seenMs: Date.UTC(2031, 3, 2, 23, 30),
  kept: true,
  ...more,
});

const lags = (rows: readonly Lag[]) =>
  table('lags', 'Lag of each gauge', rows, { timeZone: 'Pacific/Auckland' })({
    gauge: { of: (row) => row.gauge, label: 'gauge', means: 'Id of the gauge.' },
    key: { of: (row) => row.gauge.length, as: 'count', label: 'key', means: 'A key.', tidyOnly: true },
    lag: { of: (row) => row.hours, as: 'hours', i80: (row) => row.i80, label: 'lag', means: 'Hours it leads.' },
    right: { of: (row) => row.right, as: 'share', label: 'right', means: 'How often right.' },
    edge: { of: (row) => row.edge, as: 'gauge', unit: (row) => row.unit, label: 'edge', means: 'An edge.' },
    seen: { of: (row) => row.seenMs, as: 'day', label: 'seen', means: 'Last visit.' },
    kept: { of: (row) => row.kept, as: 'truth', label: 'kept', means: 'Whether it is kept.' },
  });

test('machines get every column unrounded, an interval as two columns, a time as ISO 8601', () => {
  const made = tidy(lags([lag()]));
  expect(made.rows).toEqual([
    {
      gauge: 'mill',
      key: 4,
      lag: 2.6,
      lagLow80: 2.1,
      lagHigh80: 3.1,
      right: 0.68,
      edge: 1234.5,
      seen: '2031-04-02T23:30:00.000Z',
      kept: true,
    },
  ]);
  expect(Object.keys(made.columns)).toEqual(Object.keys(made.rows[0]!));
  expect(made.columns).toMatchObject({ gauge: 'text', lagLow80: 'number', seen: 'text', kept: 'truth' });
  expectTypeOf(made.rows[0]!.lagHigh80).toEqualTypeOf<number | null>();
  expectTypeOf(made.rows[0]!.seen).toEqualTypeOf<string | null>();
  expectTypeOf(made.rows[0]!.gauge).toEqualTypeOf<string>();
});

test('columns are known without rows', () => {
  const made = tidy(lags([]));
  expect(made.rows).toEqual([]);
  expect(made.columns.lagLow80).toBe('number');
  expect(texts(lags([])).heads.map(({ text }) => text)).toContain('lag');
});

test('people get one cell an interval, the unit in the head, days of the zone, and no key', () => {
  const { heads, rows } = texts(lags([lag()]));
  expect(heads.map(({ text }) => text)).toEqual(['gauge', 'lag', 'right', 'edge, ft³/s', 'seen', 'kept']);
  expect(heads.map(({ right }) => right)).toEqual([false, true, true, true, false, false]);
  expect(rows).toEqual([['mill', '2.6 (2.1 to 3.1)', '68 %', '1230', '2031-04-03', 'yes']]);
});

test('where rows differ in their unit it stands beside each number', () => {
  const { heads, rows } = texts(lags([lag(), lag({ unit: 'm3/s', edge: 35 })]));
  expect(heads[3]!.text).toBe('edge');
  expect(rows.map((row) => row[3])).toEqual(['1230 ft³/s', '35 m³/s']);
});

test('what is missing is null for machines and empty for people; a column without anything is left out', () => {
  const without = lags([lag({ hours: null, i80: [null, null] })]);
  expect(tidy(without).rows[0]).toMatchObject({ lag: null, lagLow80: null, lagHigh80: null });
  expect(texts(without).heads.map(({ text }) => text)).not.toContain('lag');
  const half = lags([lag(), lag({ hours: NaN, i80: [null, null] })]);
  expect(tidy(half).rows[1]!.lag).toBeNull();
  expect(texts(half).rows[1]![1]).toBe('');
});

test('every tidy column says what it means', () => {
  const { rows } = tableMeaning(tidy(lags([])));
  expect(rows).toContainEqual(['lagHigh80', 'number', 'Upper end of the 80 % interval of lag.']);
  expect(rows.every(([, , means]) => means !== undefined && means.endsWith('.'))).toBe(true);
});

import { readFileSync, readdirSync } from 'node:fs';
import { concat } from 'danfojs-node';
import { describe, expect, it } from 'vitest';
import {
  edgesTable,
  fromFrame,
  gridTable,
  observersTable,
  oddsTable,
  sureRangesTable,
  tidyTable,
  toFrame,
  visitsTable,
} from '../../src/show/frames/index.js';

import { fixtureChart } from './fixtureChart.js';

const chart = fixtureChart();
const tables = { edgesTable, gridTable, observersTable, oddsTable, sureRangesTable, visitsTable };

describe('tidy tables', () => {
  it.each(Object.entries(tables))('%s goes to a data frame and back unchanged', (_, make) => {
    const table = make(chart);
    const frame = toFrame<object>(table as never);
    expect(table.rows.length).toBeGreaterThan(0);
    expect(frame.shape).toEqual([table.rows.length, Object.keys(table.columns).length]);
    expect(frame.columns).toEqual(Object.keys(table.columns));
    expect(fromFrame<object>(frame, table as never).rows).toEqual(table.rows);
  });

  it('odds of one gauge value sum to 1', () => {
    const sums = new Map<string, number>();
    for (const { run, gauge, reading, gaugeValue, odds } of oddsTable(chart).rows) {
      const key = [run, gauge, reading, gaugeValue].join('|');
      sums.set(key, (sums.get(key) ?? 0) + odds);
    }
    expect([...sums.values()].filter((sum) => Math.abs(sum - 1) > 1e-6)).toEqual([]);
  });

  it('edges carry the numbers of the chart', () => {
    const level = chart.runs[0]!.gauges[0]!.effective!;
    const row = edgesTable(chart).rows.find(({ reading, feature }) => reading === level.mode && feature === 'verdict')!;
    expect([row.lower, row.upper, row.median, row.low80, row.high80, row.rounded]).toEqual([
      ...level.edges[0]!.between,
      level.edges[0]!.median,
      ...level.edges[0]!.i80,
      level.edges[0]!.rounded,
    ]);
  });
});

interface Row {
  readonly id: string;
  readonly value: number | null;
  readonly seen: boolean;
  readonly word: string | null;
}

describe('frames', () => {
  const table = tidyTable<Row>('try', { id: 'text', value: 'number', seen: 'truth', word: 'text' }, [
    { id: 'a', value: 0.1 + 0.2, seen: true, word: null },
    { id: 'b', value: null, seen: false, word: 'x,"y' },
  ]);

  it('keep doubles, gaps and truths', () => {
    expect(toFrame(table).values).toEqual([
      ['a', 0.30000000000000004, true, null],
      ['b', NaN, false, 'x,"y'],
    ]);
    expect(fromFrame(toFrame(table), table).rows).toEqual(table.rows);
  });

  it('come back after sorting and joining, by column name', () => {
    const frame = toFrame(table);
    const twice = concat({ dfList: [frame, frame], axis: 0 }) as typeof frame;
    expect(fromFrame(twice.loc({ columns: ['word', 'seen', 'value', 'id'] }), table).rows).toEqual([
      ...table.rows,
      ...table.rows,
    ]);
  });

  it('without rows keep their columns', () => {
    const none = toFrame<Row>({ ...table, rows: [] });
    expect(none.columns).toEqual(['id', 'value', 'seen', 'word']);
    expect(fromFrame(none, table).rows).toEqual([]);
  });

  it('refuse what does not fit, by name', () => {
    const frame = toFrame(table);
    expect(() => fromFrame(frame.drop({ columns: ['value'] }), table)).toThrow(
      new RangeError('fromFrame: the frame has no column value; it has id, seen, word'),
    );
    expect(() =>
      fromFrame({ columns: ['id', 'value', 'seen', 'word'], values: [['a', 'high', true, 'x']] }, table),
    ).toThrow(new TypeError('fromFrame: row 0, column value: expected a number, found high'));
  });

  it('are known to their own folder only', () => {
    const root = new URL('../../src/', import.meta.url);
    const users = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter(
      (file) => file.endsWith('.ts') && /from 'danfojs-node'/.test(readFileSync(new URL(file, root), 'utf8')),
    );
    expect(users).toEqual(['show/frames/frame.ts']);
  });
});

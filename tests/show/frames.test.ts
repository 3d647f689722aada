import { readFileSync, readdirSync } from 'node:fs';
import { concat } from 'danfojs-node';
import { describe, expect, it } from 'vitest';
import { readCreek } from '../../src/read/readCreek.js';
import * as frames from '../../src/show/frames/index.js';
import type { TidyCell, TidyTable } from '../../src/show/frames/index.js';
import { creekJson, textFile } from '../read/creekExample.js';
import { fixtureChart } from './fixtureChart.js';
import { fixtureGauges } from './fixtureGauges.js';
import { fixtureTrust } from './fixtureTrust.js';

type Cells = Readonly<Record<string, TidyCell>>;
type Table = TidyTable<Cells>;

const input = readCreek({
  creekJson: textFile('creek.json', JSON.stringify(creekJson())),
  visits: textFile(
    'visits.csv',
    [
      'visit,when,give_or_take_min,run,feature,saw,observer,note',
      'v1,2031-05-03T12:15,20,upper,verdict,good,Ana,',
      'v1,2031-05-03T12:00,,upper,staff,31.5,,',
    ].join('\n'),
  ),
  gaugeFiles: [textFile('gauges/big.csv', 'time,value\n2031-05-03T10:00,4\n')],
});
const chart = fixtureChart();
const sources: Readonly<Record<string, unknown>> = {
  chart,
  trust: fixtureTrust(chart),
  gauges: fixtureGauges(),
  input,
};

/** Which result each table is made from. */
const OF: Readonly<Record<string, string>> = {
  sightingsTable: 'input',
  ...Object.fromEntries(
    ['edgesTable', 'gridTable', 'observersTable', 'oddsTable', 'sureRangesTable', 'visitsTable'].map((n) => [
      n,
      'chart',
    ]),
  ),
  ...Object.fromEntries(
    [
      'beatsTable',
      'candidatesTable',
      'ccfTable',
      'combinedEdgesTable',
      'combinedPartsTable',
      'lagsTable',
      'loggerEstimatesTable',
      'loggerLevelsTable',
      'loggersTable',
      'partsTable',
      'staffCurveTable',
      'staffPointsTable',
      'staffRatingsTable',
      'staffReadingsTable',
    ].map((n) => [n, 'gauges']),
  ),
};

// Known by their names only here: each takes the result it is made from and gives a table of its own rows.
const makers = Object.entries(frames as unknown as Readonly<Record<string, (source: unknown) => Table>>).filter(
  ([name]) => name.endsWith('Table') && name !== 'tidyTable',
);
const tables = makers.map(([name, make]) => [name, make(sources[OF[name] ?? 'trust'])] as const);

/** There and back, as a table. */
const round = (table: Table): Table => frames.fromFrame<Cells>(frames.toFrame<Cells>(table), table);
const withRows = (table: Table, rows: readonly Cells[]): Table => ({ ...table, rows });

/** A row with the same place in every column: one that is hard to carry. */
function rowOf({ columns }: Table, cells: Readonly<Record<'number' | 'text' | 'truth', TidyCell>>): Cells {
  return Object.fromEntries(Object.entries(columns).map(([key, type]) => [key, cells[type]]));
}

const HARD = [
  { number: null, text: null, truth: null },
  { number: 0.1 + 0.2, text: 'NaN', truth: true },
  { number: 0, text: '', truth: false },
  { number: -1e-300, text: 'a "b", c\nd é', truth: true },
  { number: 2 ** 53, text: 'null', truth: null },
];

describe('every tidy table', () => {
  it('is here: a new one has its place in this test', () => {
    expect(makers.length).toBe(41);
    expect(Object.keys(OF).filter((name) => !makers.some(([own]) => own === name))).toEqual([]);
    const names = tables.map(([, table]) => table.name);
    expect(new Set(names).size).toBe(names.length);
  });

  it.each(tables)('%s has typed rows with every column in order', (_, table) => {
    expect(table.rows.length).toBeGreaterThan(0);
    const types = { number: 'number', text: 'string', truth: 'boolean' };
    const wrong = table.rows.flatMap((row) => [
      ...(Object.keys(row).join() === Object.keys(table.columns).join() ? [] : [`columns ${Object.keys(row).join()}`]),
      ...Object.entries(row)
        .filter(([key, cell]) => cell !== null && typeof cell !== types[table.columns[key]!])
        .map(([key, cell]) => `${key}: ${String(cell)}`),
    ]);
    expect(wrong).toEqual([]);
  });

  it.each(tables)('%s goes to a data frame and back equal', (_, table) => {
    const frame = frames.toFrame<Cells>(table);
    expect(frame.columns).toEqual(Object.keys(table.columns));
    expect(frame.shape).toEqual([table.rows.length, Object.keys(table.columns).length]);
    expect(frames.fromFrame<Cells>(frame, table)).toEqual(table);
  });

  it.each(tables)('%s carries gaps, truths, doubles and odd texts, also where a whole column is a gap', (_, table) => {
    for (const cells of [...HARD.map((one) => [one]), HARD]) {
      const hard = withRows(
        table,
        cells.map((one) => rowOf(table, one)),
      );
      expect(round(hard)).toEqual(hard);
    }
  });

  it.each(tables)('%s keeps its columns without a row', (_, table) => {
    const none = withRows(table, []);
    expect(round(none)).toEqual(none);
    expect(frames.toFrame<Cells>(none).columns).toEqual(Object.keys(table.columns));
  });
});

describe('tables of a chart', () => {
  it('odds of one gauge value sum to 1', () => {
    const sums = new Map<string, number>();
    for (const { run, gauge, reading, gaugeValue, odds } of frames.oddsTable(chart).rows) {
      const key = [run, gauge, reading, gaugeValue].join('|');
      sums.set(key, (sums.get(key) ?? 0) + odds);
    }
    expect([...sums.values()].filter((sum) => Math.abs(sum - 1) > 1e-6)).toEqual([]);
  });

  it('edges carry the numbers of the chart', () => {
    const level = chart.runs[0]!.gauges[0]!.level!;
    const row = frames
      .edgesTable(chart)
      .rows.find(({ reading, feature }) => reading === level.way && feature === 'verdict')!;
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
  const table = frames.tidyTable<Row>('try', { id: 'text', value: 'number', seen: 'truth', word: 'text' }, [
    { id: 'a', value: 0.1 + 0.2, seen: true, word: null },
    { id: 'b', value: null, seen: false, word: 'x,"y' },
  ]);

  it('keep doubles, gaps and truths', () => {
    expect(frames.toFrame(table).values).toEqual([
      ['a', 0.30000000000000004, true, null],
      ['b', NaN, false, 'x,"y'],
    ]);
    expect(frames.fromFrame(frames.toFrame(table), table).rows).toEqual(table.rows);
  });

  it('come back after sorting and joining, by column name', () => {
    const frame = frames.toFrame(table);
    const twice = concat({ dfList: [frame, frame], axis: 0 }) as typeof frame;
    expect(frames.fromFrame(twice.loc({ columns: ['word', 'seen', 'value', 'id'] }), table).rows).toEqual([
      ...table.rows,
      ...table.rows,
    ]);
  });

  it('without rows keep their columns', () => {
    const none = frames.toFrame<Row>({ ...table, rows: [] });
    expect(none.columns).toEqual(['id', 'value', 'seen', 'word']);
    expect(frames.fromFrame(none, table).rows).toEqual([]);
  });

  it('refuse what does not fit, by name', () => {
    const frame = frames.toFrame(table);
    expect(() => frames.fromFrame(frame.drop({ columns: ['value'] }), table)).toThrow(
      new RangeError('fromFrame: the frame has no column value; it has id, seen, word'),
    );
    expect(() =>
      frames.fromFrame({ columns: ['id', 'value', 'seen', 'word'], values: [['a', 'high', true, 'x']] }, table),
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

import { readFileSync, readdirSync } from 'node:fs';
import { concat } from 'danfojs-node';
import { describe, expect, it } from 'vitest';
import { readCreek } from '../../src/read/readCreek.js';
import * as frames from '../../src/show/frames/index.js';
import type { Cell, TidyTable } from '../../src/show/frames/index.js';
import { tidy, type Table as AnyMade } from '../../src/tell/table.js';
import * as chartTables from '../../src/tell/tables/chartTables.js';
import * as gaugeTables from '../../src/tell/tables/gaugeTables.js';
import * as trustTables from '../../src/tell/tables/trustTables.js';
import { creekJson, textFile } from '../read/creekExample.js';
import { frozenSample } from './frozenSample.js';

type Cells = Readonly<Record<string, Cell>>;
type Table = TidyTable<Cells>;
type Make = (source: unknown) => AnyMade;

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
const sample = frozenSample();
const { chart, trust, gauges } = sample;

/** Each table from the result it is made of; those for people alone, made from a part of a result, are left out. */
const { sightingsTable, ...ofChart } = chartTables;
const { comparedTable: _compared, gradeTable: _grade, confusionSquare: _square, ...ofTrust } = trustTables;
const { rankingTable: _ranking, ...ofGauges } = gaugeTables;
const made = (makers: object, source: unknown) =>
  Object.entries(makers as Readonly<Record<string, Make>>).map(
    ([name, make]) => [name, tidy(make(source)) as Table] as const,
  );
const tables = [
  ...made({ sightingsTable }, input),
  ...made(ofChart, chart),
  ...made(ofTrust, trust),
  ...made(ofGauges, gauges),
];
/** What the sample may lack. */
const MAY_BE_EMPTY = ['suspectsTable', 'nextLooksTable', 'asideTable'];

/** There and back, as a table. */
const round = (table: Table): Table => frames.fromFrame<Cells>(frames.toFrame<Cells>(table), table);
const withRows = (table: Table, rows: readonly Cells[]): Table => ({ ...table, rows });

/** A row with the same place in every column: one that is hard to carry. */
function rowOf({ columns }: Table, cells: Readonly<Record<'number' | 'text' | 'truth', Cell>>): Cells {
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
  it('has a name of its own', () => {
    const names = tables.map(([, table]) => table.name);
    expect(new Set(names).size).toBe(names.length);
  });

  it.each(tables)('%s has typed rows with every column in order', (name, table) => {
    if (!MAY_BE_EMPTY.includes(name)) expect(table.rows.length).toBeGreaterThan(0);
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

  it.each(tables)('%s says what each of its columns means', (_, table) => {
    for (const [column, , means] of frames.tableMeaning(table).rows) expect(means, column).toMatch(/^.{3,}\.$/s);
  });
});

describe('tables carry the numbers of their result', () => {
  const { level, gauge } = chart.runs[0]!.gauges[0]!;
  const judgement = trust.runs[0]!.gauges[0]!;

  it('odds of one gauge value sum to 1', () => {
    const sums = new Map<string, number>();
    for (const { run, gauge: id, gaugeValue, odds } of tidy(frames.oddsTable(chart)).rows) {
      const key = [run, id, gaugeValue].join('|');
      sums.set(key, (sums.get(key) ?? 0) + odds);
    }
    expect([...sums.values()].filter((sum) => Math.abs(sum - 1) > 1e-6)).toEqual([]);
  });

  it('edges', () => {
    const row = tidy(frames.edgesTable(chart)).rows.find(({ feature }) => feature === 'verdict')!;
    const edge = level!.edges[0]!;
    expect([row.gauge, row.lower, row.upper, row.median, row.medianLow80, row.medianHigh80, row.rounded]).toEqual([
      gauge.id,
      ...edge.between,
      edge.median,
      ...edge.i80,
      edge.rounded,
    ]);
  });

  it('none of a gauge without a usable relation', () => {
    const useless = chart.runs.map((run) => ({
      ...run,
      gauges: run.gauges.map((one) => ({ ...one, trust: { ...one.trust, grade: 'no usable relation' as const } })),
    }));
    for (const make of [frames.edgesTable, frames.oddsTable, frames.sureRangesTable])
      expect(make({ ...chart, runs: useless }).rows).toEqual([]);
  });

  it('skill, residuals and the confusion of a judgement', () => {
    const way = judgement.scores!.ways[0]!;
    const skill = tidy(frames.skillTable(judgement)).rows.find(
      (row) => row.way === way.way && row.against === 'frequencies',
    )!;
    const { value, i80 } = way.skill.againstFrequencies;
    expect([skill.value, skill.valueLow80, skill.valueHigh80]).toEqual([value, ...i80]);
    expect(frames.residualsTable(judgement).rows.length).toBe(judgement.shift.residuals.length);
    const seen = tidy(frames.confusionTable(judgement)).rows.reduce((sum, { verdicts }) => sum + verdicts, 0);
    expect(seen).toBe(judgement.scores!.confusion.table.flat().reduce((a, b) => a + b, 0));
  });

  it('candidates of a ranking, the chosen one marked', () => {
    const { ranking, id } = gauges.runs[0]!;
    const own = tidy(frames.candidatesTable(gauges)).rows.filter(({ run }) => run === id);
    expect(own.map(({ candidate }) => candidate)).toEqual(
      [...ranking!.warning, ...ranking!.confirming].map((one) => one.id),
    );
    expect(own.filter(({ chosen }) => chosen).map(({ candidate }) => candidate)).toEqual([ranking!.choice.id]);
    expect(own.map(({ skill }) => skill)).toEqual(
      [...ranking!.warning, ...ranking!.confirming].map(({ skill }) => skill.againstFrequencies.value),
    );
  });

  it('the curve of a staff', () => {
    const [rating] = gauges.runs.flatMap(({ staffs }) => staffs.flatMap((staff) => staff.gauges));
    const curve = tidy(frames.staffCurveTable(gauges)).rows.filter(({ gauge: id }) => id === rating!.gauge);
    expect(curve.map(({ reading }) => reading)).toEqual(rating!.median);
    expect(curve.map(({ oneHigh80 }) => oneHigh80)).toEqual(rating!.reading80.map(([, high]) => high));
  });

  it('sightings with the month of the creek’s own clock', () => {
    const first = tidy(frames.sightingsTable(input)).rows.find(({ feature }) => feature === 'verdict');
    expect(first).toMatchObject({
      visit: 'v1',
      run: 'upper',
      feature: 'verdict',
      class: 'good',
      month: 5,
      giveOrTakeMin: 20,
    });
  });
});

interface Row {
  readonly id: string;
  readonly value: number | null;
  readonly seen: boolean;
  readonly word: string | null;
}

describe('frames', () => {
  const table: TidyTable<Row> = {
    kind: 'tidy-table',
    name: 'try',
    columns: { id: 'text', value: 'number', seen: 'truth', word: 'text' },
    means: { id: 'Id.', value: 'Value.', seen: 'Seen.', word: 'Word.' },
    rows: [
      { id: 'a', value: 0.1 + 0.2, seen: true, word: null },
      { id: 'b', value: null, seen: false, word: 'x,"y' },
    ],
  };

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

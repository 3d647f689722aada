import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { notUsedCsv } from '../../src/show/text/notUsedCsv.js';
import type { Gauge } from '../../src/series/creek.js';
import type { Issue } from '../../src/series/issue.js';
import { GAUGES, gaugeFault, readBytes, readLog, utf8, visitsFault } from './invariants.js';

/** A table before it is written: its cells, what stands between them, and which column holds the numbers. */
interface Table {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly delimiter: string;
  readonly value: number;
  readonly time: number;
}

/** Where damage is done: three numbers in [0, 1). */
type Place = readonly [number, number, number];
type Damage = (lines: string[], table: Table, place: Place) => void;

const at = (part: number, count: number) => Math.floor(part * count);
const change = (lines: string[], i: number, make: (cells: string[]) => string[], { delimiter }: Table) => {
  lines[i] = make(lines[i]!.split(delimiter)).join(delimiter);
};
const replaceCell = (k: number, make: (cell: string) => string) => (cells: string[]) =>
  cells.map((cell, i) => (i === k ? make(cell) : cell));
const comma = (cell: string) => cell.replace('.', ',');
const exchange = (cell: string) =>
  cell.replace(/^(\d\d)\/(\d\d)\//, (all, day, month) => (+day > 12 ? all : `${month}/${day}/`));

/** What happens to tables on their way: by hand, by a spreadsheet, by a broken download. Lines are those under the header. */
const DAMAGES: Readonly<Record<string, Damage>> = {
  'a quote before a cell': (lines, table, [row, cell]) =>
    change(
      lines,
      at(row, lines.length),
      (cells) => replaceCell(at(cell, cells.length), (text) => `"${text}`)(cells),
      table,
    ),
  'a quote before a cell, another rows later behind one': (lines, table, [row, cell, later]) => {
    const from = at(row, lines.length - 1);
    const to = from + 1 + at(later, lines.length - 1 - from);
    change(lines, from, (cells) => replaceCell(at(cell, cells.length), (text) => `"${text}`)(cells), table);
    lines[to] += '"';
  },
  'two quotes around several cells': (lines, table, [row, cell]) =>
    change(
      lines,
      at(row, lines.length),
      (cells) => {
        const from = at(cell, cells.length - 1);
        return cells.map((text, i) => (i === from ? `"${text}` : i === from + 1 ? `${text}"` : text));
      },
      table,
    ),
  'a quote inside a line': (lines, _, [row, place]) => {
    const i = at(row, lines.length);
    const k = at(place, lines[i]!.length);
    lines[i] = `${lines[i]!.slice(0, k)}"${lines[i]!.slice(k)}`;
  },
  'a delimiter lost': (lines, table, [row, cell]) =>
    change(
      lines,
      at(row, lines.length),
      (cells) => {
        const k = at(cell, cells.length - 1);
        return [...cells.slice(0, k), `${cells[k]}${cells[k + 1]}`, ...cells.slice(k + 2)];
      },
      table,
    ),
  'a delimiter twice': (lines, table, [row, cell]) =>
    change(lines, at(row, lines.length), (cells) => cells.toSpliced(1 + at(cell, cells.length - 1), 0, ''), table),
  'a cell lost': (lines, table, [row, cell]) =>
    change(lines, at(row, lines.length), (cells) => cells.toSpliced(at(cell, cells.length), 1), table),
  'a cell twice': (lines, table, [row, cell]) =>
    change(
      lines,
      at(row, lines.length),
      (cells) => cells.toSpliced(at(cell, cells.length), 0, cells[at(cell, cells.length)]!),
      table,
    ),
  'all decimal points made commas': (lines, table) =>
    lines.forEach((_, i) => change(lines, i, replaceCell(table.value, comma), table)),
  'one decimal point made a comma': (lines, table, [row]) =>
    change(lines, at(row, lines.length), replaceCell(table.value, comma), table),
  'the decimal points of the later rows made commas': (lines, table, [row]) =>
    lines.forEach((_, i) => i >= at(row, lines.length) && change(lines, i, replaceCell(table.value, comma), table)),
  'numbers of another land: commas for decimals, points between thousands': (lines, table) =>
    lines.forEach((_, i) =>
      change(
        lines,
        i,
        replaceCell(table.value, (cell) => comma(cell).replace(/^(\d)(\d{3})(?!\d)/, '$1.$2')),
        table,
      ),
    ),
  'day and month exchanged in one row': (lines, table, [row]) =>
    change(lines, at(row, lines.length), replaceCell(table.time, exchange), table),
  'day and month exchanged in later rows': (lines, table, [row]) =>
    lines.forEach((_, i) => i > at(row, lines.length) && change(lines, i, replaceCell(table.time, exchange), table)),
  'the file cut off': (lines, _, [row, place]) => {
    lines.splice(at(row, lines.length) + 1);
    const last = lines.at(-1)!;
    lines[lines.length - 1] = `${last.slice(0, at(place, last.length))}\u0000cut`;
  },
  'a line break lost': (lines, _, [row]) => {
    const i = at(row, lines.length - 1);
    lines.splice(i, 2, `${lines[i]}${lines[i + 1]}`);
  },
  'a line broken in two': (lines, _, [row, place]) => {
    const i = at(row, lines.length);
    const k = 1 + at(place, lines[i]!.length - 1);
    lines.splice(i, 1, lines[i]!.slice(0, k), lines[i]!.slice(k));
  },
  'line ends of an old system': (lines) => lines.splice(0, lines.length, lines.join('\r')),
  'blank lines': (lines, _, [row]) => lines.splice(at(row, lines.length), 0, '', '  '),
  'a row twice': (lines, _, [row]) => lines.splice(at(row, lines.length), 0, lines[at(row, lines.length)]!),
  'two rows exchanged': (lines, _, [row, other]) => {
    const [i, k] = [at(row, lines.length), at(other, lines.length)];
    [lines[i], lines[k]] = [lines[k]!, lines[i]!];
  },
  'words between the rows': (lines, _, [row]) =>
    lines.splice(at(row, lines.length), 0, 'End of data. Values are provisional'),
  'another delimiter in one row': (lines, { delimiter }, [row]) =>
    (lines[at(row, lines.length)] = lines[at(row, lines.length)]!.replaceAll(delimiter, delimiter === ',' ? ';' : ',')),
  'a comment mark before a row': (lines, _, [row]) =>
    (lines[at(row, lines.length)] = `#${lines[at(row, lines.length)]}`),
  'zeros of a crashed disk': (lines, _, [row, place]) => {
    const i = at(row, lines.length);
    lines[i] = lines[i]!.slice(0, at(place, lines[i]!.length)) + '\u0000'.repeat(20);
  },
};

/** The table as text, and as text after the damage, with the number of its rows. */
function written(table: Table, damage: Damage, place: Place): { plain: string; damaged: string; rows: number } {
  const lines = table.rows.map((cells) => cells.join(table.delimiter));
  const head = `${table.header.join(table.delimiter)}\n`;
  const plain = `${head}${lines.join('\n')}\n`;
  damage(lines, table, place);
  const body = `${lines.join('\n')}\n`.replace(/\u0000cut\n$/, '');
  return { plain, damaged: head + body, rows: body.split(/[\r\n]/).filter((line) => line.trim() !== '').length };
}

/** Lines of commas alone, which are no rows of a log. */
const emptyRows = (text: string) => text.split(/[\r\n]/).filter((line) => /^[,\s]*,[,\s]*$/.test(line)).length;

/** Rows that not-used.csv counts, as another program reads it. */
const listed = (issues: readonly Issue[]) =>
  (parse(notUsedCsv(issues), { columns: true, bom: true }) as { rows: string }[]).reduce(
    (sum, { rows }) => sum + +rows,
    0,
  );
const part = fc.double({ min: 0, max: 0.999, noNaN: true });
const place: fc.Arbitrary<Place> = fc.tuple(part, part, part);
const pad = (n: number) => String(n).padStart(2, '0');
const HOUR = 3_600_000;

const gaugeTable = fc
  .record({
    from: fc.integer({ min: Date.UTC(2030, 0, 1) / HOUR, max: Date.UTC(2031, 0, 1) / HOUR }),
    stepHours: fc.constantFrom(1, 6, 24),
    values: fc.array(fc.integer({ min: 100, max: 400_000 }), { minLength: 8, maxLength: 40 }),
    delimiter: fc.constantFrom(',', ';'),
    dayFirst: fc.boolean(),
    order: fc.constantFrom(
      'time value q',
      'time value',
      'time q value',
      'time value remark',
      'note time value q extra',
    ),
  })
  .map(({ from, stepHours, values, delimiter, dayFirst, order }): Table & { gauge: Gauge } => {
    const header = order.split(' ');
    const time = (k: number) => {
      const iso = new Date((from + k * stepHours) * HOUR).toISOString();
      return dayFirst
        ? `${iso.slice(8, 10)}/${iso.slice(5, 7)}/${iso.slice(0, 4)} ${iso.slice(11, 16)}`
        : `${iso.slice(0, 16)}Z`;
    };
    const cell: Record<string, (k: number) => string> = {
      time,
      value: (k) => (values[k]! / 100).toFixed(2),
      q: () => 'G',
      remark: (k) => (k % 3 === 0 ? 'ice upstream' : ''),
      note: (k) => String(k),
      extra: () => '7',
    };
    return {
      header,
      rows: values.map((_, k) => header.map((name) => cell[name]!(k))),
      delimiter,
      value: header.indexOf('value'),
      time: header.indexOf('time'),
      gauge: {
        ...GAUGES.delimited!,
        delimiter,
        columns: { time: 'time', value: 'value', ...(header.includes('q') && { quality: 'q' }) },
        timeZone: 'Etc/GMT',
        ...(dayFirst && { datePattern: 'dd/MM/yyyy HH:mm' }),
      },
    };
  });

const logTable = fc
  .array(
    fc.tuple(
      fc.integer({ min: 1, max: 9 }),
      fc.constantFrom('low', 'good', 'high'),
      fc.constantFrom('Ana', 'Bo'),
      fc.boolean(),
    ),
    { minLength: 8, maxLength: 30 },
  )
  .map((visits): Table => ({
    header: ['visit', 'when', 'give_or_take_min', 'run', 'feature', 'saw', 'observer', 'note'],
    rows: visits.map(([hour, saw, observer, note], k) => [
      `v${k}`,
      `2031-${pad(1 + (k % 12))}-${pad(1 + (k % 28))}T1${hour}:30Z`,
      '',
      'upper',
      'verdict',
      saw,
      observer,
      note ? 'wet' : '',
    ]),
    delimiter: ',',
    value: 6,
    time: 1,
  }));

describe('damage: every row is used or in not-used.csv, and no used value is another than before', () => {
  it('are at least twenty kinds', () => expect(Object.keys(DAMAGES).length).toBeGreaterThanOrEqual(20));

  it.each(Object.entries(DAMAGES))('gauge table: %s', (_, damage) => {
    fc.assert(
      fc.property(gaugeTable, place, (table, where) => {
        const { plain, damaged, rows } = written(table, damage, where);
        const whole = readBytes(table.gauge, utf8(plain));
        expect(whole.issues).toEqual([]);
        const truth = new Map([...whole.record!.timesMs].map((time, i) => [time, whole.record!.values[i]]));
        const built = readBytes(table.gauge, utf8(damaged));
        expect(gaugeFault(built, utf8(damaged))).toBeUndefined();
        const twice = built.issues.filter(({ code, severity }) => code === 'duplicate-time' && severity === 'note');
        const lost = listed(built.issues.filter(({ code }) => code !== 'not-a-time-series'));
        if (built.record !== undefined || built.rowsIn > 0) expect(built.rowsUsed + lost + twice.length).toBe(rows);
        built.record?.timesMs.forEach((time, i) => {
          const value = built.record!.values[i]!;
          if (value === value) expect([time, truth.get(time)]).toEqual([time, value]);
        });
      }),
      { seed: 7, numRuns: Number(process.env.DAMAGE_RUNS ?? 60) },
    );
  });

  const GAUGE_ONLY = /decimal|another land|day and month/;
  it.each(Object.entries(DAMAGES).filter(([name]) => !GAUGE_ONLY.test(name)))('visits: %s', (_, damage) => {
    const sightings = (text: string) => {
      const read = readLog(utf8(text));
      expect(visitsFault(read, utf8(text))).toBeUndefined();
      return {
        read,
        seen: read.visits.flatMap(({ id, sightings: all }) =>
          all.map(({ timeMs, feature, classIndex, observer, giveOrTakeMin }) =>
            JSON.stringify([id, timeMs, feature, classIndex, observer, giveOrTakeMin]),
          ),
        ),
      };
    };
    fc.assert(
      fc.property(logTable, place, (table, where) => {
        const { plain, damaged, rows } = written(table, damage, where);
        const truth = new Set(sightings(plain).seen);
        const { read, seen } = sightings(damaged);
        expect(truth.size).toBe(table.rows.length);
        const lostRows = new Set(read.issues.filter(({ severity }) => severity === 'warning').map(({ row }) => row));
        expect(read.sightingsUsed + lostRows.size + read.comments).toBe(rows - emptyRows(damaged));
        expect(seen.filter((one) => !truth.has(one))).toEqual([]);
      }),
      { seed: 7, numRuns: Number(process.env.DAMAGE_RUNS ?? 60) },
    );
  });
});

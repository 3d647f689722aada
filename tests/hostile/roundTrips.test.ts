import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { parse } from 'csv-parse/sync';
import { stringify } from 'csv-stringify/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readCreek } from '../../src/read/readCreek.js';
import { readVisits } from '../../src/read/readVisits.js';
import { creekTemplate } from '../../src/show/cli/creekTemplate.js';
import { notUsedCsv } from '../../src/show/text/notUsedCsv.js';
import { stableJson } from '../../src/show/write/stableJson.js';
import type { Issue } from '../../src/series/issue.js';
import { CREEKS } from './corpus/logs.js';
import { CREEK_TEXT, GAUGES, readBytes, utf8 } from './invariants.js';

const SEED = 41;
const HOUR = 3_600_000;
const schema = JSON.parse(readFileSync(new URL('../../schema/creek.schema.json', import.meta.url), 'utf8')) as object;
const validate = new Ajv2020({ strict: false, allErrors: false }).compile(schema);

/** Readings at distinct times, in order. */
const readings = fc.uniqueArray(fc.integer({ min: 0, max: 5000 }), { minLength: 1, maxLength: 30 }).chain((hours) =>
  fc
    .array(
      fc.oneof(
        fc.double({ min: 1e-6, max: 1e9, noNaN: true }),
        fc.integer({ min: 1, max: 99_999 }).map((n) => n / 100),
      ),
      {
        minLength: hours.length,
        maxLength: hours.length,
      },
    )
    .map((values) =>
      hours.sort((a, b) => a - b).map((hour, i) => [Date.UTC(2031, 0, 1) + hour * HOUR, values[i]!] as const),
    ),
);
const iso = (ms: number) => new Date(ms).toISOString();

describe('what is written in a format comes back from it', () => {
  const WRITERS: readonly (readonly [string, (rows: readonly (readonly [number, number])[]) => string])[] = [
    [
      'delimited',
      (rows) =>
        stringify(
          rows.map(([ms, value]) => [iso(ms), String(value), 'G']),
          { header: true, columns: ['time', 'value', 'q'], quoted: true },
        ),
    ],
    [
      'rdb',
      (rows) =>
        `agency_cd\tsite_no\tdatetime\ttz_cd\t7_00060\t7_00060_cd\n5s\t15s\t20d\t6s\t14n\t10s\n${rows.map(([ms, value]) => `XX\t01\t${iso(ms).slice(0, 16).replace('T', ' ')}\tUTC\t${value}\tA`).join('\n')}`,
    ],
    [
      'waterml1',
      (rows) =>
        `<timeSeriesResponse><timeSeries><values>${rows.map(([ms, value]) => `<value dateTime="${iso(ms)}">${value}</value>`).join('')}</values></timeSeries></timeSeriesResponse>`,
    ],
    [
      'waterml1',
      (rows) =>
        JSON.stringify({
          value: { timeSeries: [{ values: [{ value: rows.map(([ms, value]) => ({ dateTime: iso(ms), value })) }] }] },
        }),
    ],
    [
      'waterml2',
      (rows) =>
        `<Collection><OM_Observation><MeasurementTimeseries>${rows.map(([ms, value]) => `<point><MeasurementTVP><time>${iso(ms)}</time><value>${value}</value></MeasurementTVP></point>`).join('')}</MeasurementTimeseries></OM_Observation></Collection>`,
    ],
  ];
  it.each(WRITERS)('%s: every reading, to the last bit', (kind, write) => {
    fc.assert(
      fc.property(readings, (rows) => {
        const { record, issues, rowsIn } = readBytes(GAUGES[kind]!, utf8(write(rows)));
        expect(issues).toEqual([]);
        expect([rowsIn, Array.from(record!.timesMs), Array.from(record!.values)]).toEqual([
          rows.length,
          rows.map(([ms]) => ms),
          rows.map(([, value]) => value),
        ]);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('a log by another writer of CSV: notes and observers letter by letter', () => {
    const { creek } = parseCreek({ name: 'creek.json', bytes: utf8(CREEK_TEXT) });
    const text = fc
      .string({ minLength: 1, maxLength: 20, unit: 'grapheme' })
      .map((word) => word.replace(/\r\n?/g, '\n').trim());
    const row = fc.tuple(fc.integer({ min: 0, max: 9000 }), fc.constantFrom('low', 'good', 'high'), text, text);
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 12 }), (rows) => {
        const cells = rows.map(([hour, saw, observer, note], i) => [
          `v${i}`,
          iso(Date.UTC(2031, 0, 1, hour)),
          'upper',
          'verdict',
          saw,
          observer,
          note,
        ]);
        const csv = stringify(cells, {
          header: true,
          columns: ['visit', 'when', 'run', 'feature', 'saw', 'observer', 'note'],
        });
        const read = readVisits({ name: 'visits.csv', bytes: utf8(csv) }, creek!);
        expect(read.issues.filter(({ severity }) => severity !== 'note')).toEqual([]);
        const back = new Map(read.visits.map((visit) => [visit.id, visit.sightings[0]!]));
        rows.forEach(([hour, saw, observer, note], i) => {
          const { timeMs, classIndex, ...rest } = back.get(`v${i}`)!;
          expect([timeMs, ['low', 'good', 'high'][classIndex], rest.note]).toEqual([
            Date.UTC(2031, 0, 1, hour),
            saw,
            note,
          ]);
          expect(rest.observer).toBe(observer === '' ? 'not named' : observer.normalize('NFC'));
        });
      }),
      { seed: SEED, numRuns: 80 },
    );
  });
});

describe('what we write, read by others', () => {
  it('not-used.csv: csv-parse gets every cell back, whatever stood in the input', () => {
    const word = fc.string({ maxLength: 25, unit: 'grapheme' });
    const issue = fc
      .record({ file: word, found: word, expected: word, hint: word, row: fc.integer({ min: 1, max: 99 }) })
      .map((parts): Issue => ({ code: 'row-shape', severity: 'warning', ...parts }));
    fc.assert(
      fc.property(fc.array(issue, { minLength: 1, maxLength: 8 }), (issues) => {
        const rows = parse(notUsedCsv(issues), { columns: true, bom: true }) as Record<string, string>[];
        expect(rows.length).toBe(issues.length);
        for (const row of rows) {
          expect(row.reason).toBe('row-shape');
          for (const cell of Object.values(row)) expect(cell).not.toMatch(/^[=+\-@\t\r]/);
        }
      }),
      { seed: SEED, numRuns: 80 },
    );
  });

  it('JSON comes back as the same value, with its keys in order', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
        const plain = JSON.parse(JSON.stringify(value).replace(/(?<![\d.eE"])-0(?![\d.])/g, '0')) as unknown;
        const text = stableJson(plain);
        expect(JSON.parse(text)).toEqual(plain);
        expect(stableJson(JSON.parse(text))).toBe(text);
      }),
      { seed: SEED, numRuns: 150 },
    );
  });
});

describe('the folder that `new` makes', () => {
  it('reads with nothing to say but that its rows are examples, and an independent validator finds its creek.json good', () => {
    const files = creekTemplate({ name: 'Mosswater', timeZone: 'Europe/London' });
    const file = (name: string) => ({ name, bytes: utf8(files.get(name)!) });
    const input = readCreek({
      creekJson: file('creek.json'),
      visits: file('visits.csv'),
      gaugeFiles: [file('gauges/river.csv')],
    });
    expect(input.issues.map(({ code, count }) => [code, count])).toEqual([['example-row', 4]]);
    expect(input.counts).toMatchObject({ sightingRows: 4, sightingsUsed: 4, gaugeRows: 72, gaugeValuesUsed: 72 });
    expect(validate(JSON.parse(files.get('creek.json')!))).toBe(true);
  });

  it('the published schema never refuses what the reader takes', () => {
    const taken = CREEKS.filter(({ issues }) => issues.length === 0).map(({ input }) =>
      String(input).replace('\ufeff', ''),
    );
    expect(taken.length).toBeGreaterThan(2);
    for (const text of taken) expect(validate(JSON.parse(text)), text.slice(0, 80)).toBe(true);
  });

  it('and refuses what only shapes can be wrong with', () => {
    const wrong = { ...(JSON.parse(CREEK_TEXT) as object), colour: 'green' };
    expect(validate(wrong)).toBe(false);
    expect(validate({ ...(JSON.parse(CREEK_TEXT) as object), '// colour': 'green' })).toBe(true);
  });
});

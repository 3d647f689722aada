import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { cellText, recordCutter } from '../../src/read/recordCutter.js';
import { readVisits } from '../../src/read/readVisits.js';
import { CREEK_TEXT, utf8 } from './invariants.js';

/** All records of a text, by the cutter that reads gauge tables. Line breaks inside quotes are kept here, to compare cells letter by letter. */
function records(text: string, delimiter = ','): string[][] {
  const { cutAt, starts, ends } = recordCutter(text, { delimiter, most: 50 });
  const out: string[][] = [];
  for (let at = 0; at < text.length;) {
    const record = cutAt(at);
    expect(record.problem).toBe('');
    out.push(Array.from({ length: record.cells }, (_, i) => text.slice(starts[i], ends[i]).replaceAll('""', '"')));
    at = record.end + 1;
  }
  return out.filter((cells) => cells.some((cell) => cell !== '') || cells.length > 1);
}

/*
 * Cases made outside this project. Source: csv-spectrum 2.0.0 (npm, BSD-2-Clause), a set of CSV files with what each must read to. One of its files has an
 * expected value that differs from its own CSV (other numbers in the location file), so its cells are compared with csv-parse and not with the JSON.
 */
const folder = dirname(createRequire(import.meta.url).resolve('csv-spectrum/package.json'));
const names = readdirSync(join(folder, 'csvs')).map((name) => name.replace('.csv', ''));

describe('a set of CSV cases from outside', () => {
  it('has the twelve cases that it had', () => {
    expect(names.length).toBe(12);
  });
  for (const name of names)
    it(name, () => {
      const text = readFileSync(join(folder, 'csvs', `${name}.csv`), 'utf8');
      const [header, ...rows] = records(text) as [string[], ...string[][]];
      // Blanks at the ends of a cell are not part of it here; nothing else is changed.
      const trimmed = (value: string) => value.trim();
      expect(rows).toEqual((parse(text, { from: 2, relax_quotes: true }) as string[][]).map((row) => row.map(trimmed)));
      if (name === 'location_coordinates') return;
      const wanted = JSON.parse(readFileSync(join(folder, 'json', `${name}.json`), 'utf8')) as
        Record<string, string> | Record<string, string>[];
      const read = rows.map((cells) => Object.fromEntries(cells.map((cell, i) => [header[i], cell])));
      const plain = (Array.isArray(wanted) ? wanted : [wanted]).map((row) =>
        Object.fromEntries(Object.entries(row).map(([key, value]) => [key, trimmed(value)])),
      );
      expect(read).toEqual(plain);
    });
});

/** What most of its examples hold. */
const TWO_ROWS = [
  ['aaa', 'bbb', 'ccc'],
  ['zzz', 'yyy', 'xxx'],
];

/** RFC 4180, section 2: what each rule says, as text and cells. CRLF as the document has it. */
const RFC_4180: readonly (readonly [rule: string, text: string, cells: string[][]])[] = [
  ['1: a record a line', 'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n', TWO_ROWS],
  ['2: no line break at the end', 'aaa,bbb,ccc\r\nzzz,yyy,xxx', TWO_ROWS],
  ['4: no comma after the last', 'aaa,bbb,ccc', [['aaa', 'bbb', 'ccc']]],
  ['5: quotes or none', '"aaa","bbb","ccc"\r\nzzz,yyy,xxx', TWO_ROWS],
  [
    '6: line breaks, quotes and commas in quotes',
    '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
    [
      ['aaa', 'b\r\nbb', 'ccc'],
      ['zzz', 'yyy', 'xxx'],
    ],
  ],
  ['7: a quote is written twice', '"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
];

describe('RFC 4180', () => {
  it.each(RFC_4180)('rule %s', (_, text, cells) => {
    expect(records(text)).toEqual(cells);
    expect(parse(text)).toEqual(cells);
  });
  it('cell text for names: one line, quotes undoubled', () => {
    expect(cellText('x"a ""b""\n c"', 2, 12)).toBe('a "b" c');
  });
  it('the reader of logs keeps the same rules in a note', () => {
    const { creek } = parseCreek({ name: 'creek.json', bytes: utf8(CREEK_TEXT) });
    for (const [note, read] of [
      ['"b\r\nbb"', 'b\nbb'],
      ['"b""bb"', 'b"bb'],
      ['"b,bb"', 'b,bb'],
      ['bbb', 'bbb'],
    ]) {
      const text = `when,run,feature,saw,observer,note\r\n2031-05-03T10:30,upper,verdict,good,Ana,${note}\r\n`;
      expect(readVisits({ name: 'v', bytes: utf8(text) }, creek!).visits[0]!.sightings[0]!.note).toBe(read);
    }
  });
});

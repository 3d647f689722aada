import { NO_NUMBERS, NO_TIMES, NOT_POSITIVE, NUMBERS } from './texts.js';
import { family, type HostileCase } from './types.js';

const HEAD = 'time,value,q\n';
const FIRST = '2031-01-01T00:00Z,1,G\n';
const LAST = '2031-01-01T02:00Z,3,G\n';
const between = (row: string) => `${HEAD}${FIRST}${row}\n${LAST}`;
const asDelimited = (input: string, used: number, ...issues: string[]) => ({ read: 'delimited', input, used, issues });
const one = (name: string, input: string | Uint8Array, used: number, ...issues: string[]): HostileCase => ({
  name: `delimited: ${name}`,
  read: 'delimited',
  input,
  used,
  issues,
});

export const DELIMITED: readonly HostileCase[] = [
  ...family('delimited: no time', NO_TIMES, (text) =>
    asDelimited(between(`${text},2,G`), 2, 'warning time-unreadable'),
  ),
  ...family('delimited: no number', NO_NUMBERS, (text) =>
    asDelimited(between(`2031-01-01T01:00Z,${text},G`), 2, 'warning value-unreadable'),
  ),
  ...family('delimited: a number', NUMBERS, (text) => asDelimited(between(`2031-01-01T01:00Z,${text},G`), 3)),
  ...family('delimited: zero or below', NOT_POSITIVE, (text) =>
    asDelimited(between(`2031-01-01T01:00Z,${text},G`), 3, 'note not-positive'),
  ),
  ...family(
    'delimited: a row of another shape',
    [
      'x',
      ',',
      '2031-01-01T01:00Z',
      '2031-01-01T01:00Z,2',
      '2031-01-01T01:00Z,2,G,5',
      '2031-01-01T01:00Z,1,25,G',
      '2031-01-01T01:00Z;2;G',
      '2031-01-01T01:00Z\t2\tG',
      '"2031-01-01T01:00Z,2,G',
      '2031-01-01T01:00Z,"2"5,G',
      '2031-01-01T01:00Z,"2,G',
      '"a""b"c,2,G',
      '"2031-01-01T01:00Z" x,2,G',
    ],
    (row) => asDelimited(between(row), 2, 'warning row-shape'),
  ),
  ...family('delimited: nothing in a row', ['', ' ', '\t', ' \u00a0 ', '\r'], (row) => asDelimited(between(row), 2)),
  ...family('delimited: empty cells', [',,', ' , , ', '"","",""'], (row) =>
    asDelimited(between(row), 2, 'warning time-unreadable'),
  ),
  ...family('delimited: no value', ['2031-01-01T01:00Z,,G', '2031-01-01T01:00Z, ,G', '2031-01-01T01:00Z,"",G'], (row) =>
    asDelimited(between(row), 2, 'warning value-missing'),
  ),
  ...family(
    'delimited: a quoted cell with anything in it',
    [
      '"fair, they say"',
      '"two\nlines"',
      '"two\r\nlines"',
      '"a ""quote"""',
      '"=cmd()"',
      '"<b>"',
      '"\u0000"',
      '"\n\n\n"',
      '"\u001b[2J"',
      '"🌊"',
    ],
    (code) => asDelimited(between(`2031-01-01T01:00Z,2,${code}`), 3),
  ),
  one('the same row twice', between('2031-01-01T00:00Z,1,G'), 2, 'note duplicate-time'),
  one('two readings of one time', between('2031-01-01T00:00Z,2,G'), 1, 'warning duplicate-time'),
  one('the same time in two zones', between('2030-12-31T17:00-07:00,1,G'), 2, 'note duplicate-time'),
  one('a row out of order', between('2030-12-31T23:00Z,2,G'), 3, 'note unsorted'),
  one('a date among times', between('2031-01-01,2,G'), 2, 'warning time-unreadable'),
  one(
    'times in the hour that the clocks skipped',
    `${HEAD}2031-03-09T02:30,1,G\n${FIRST}`,
    1,
    'warning time-nonexistent',
  ),
  one('one pass of the doubled hour', `${HEAD}2031-11-02T01:30,1,G\n${FIRST}`, 1, 'warning time-ambiguous'),
  one(
    'both passes of the doubled hour',
    `${HEAD}2031-11-02T01:30,1,G\n2031-11-02T01:30,2,G\n`,
    2,
    'note time-ambiguous',
  ),
  one('nothing at all', '', 0, 'fatal column-missing'),
  one('a byte-order mark and nothing else', '\ufeff', 0, 'fatal column-missing'),
  one('a header alone', HEAD, 0, 'fatal not-a-time-series'),
  one('a header and blank lines', `${HEAD}\n\n\n`, 0, 'fatal not-a-time-series'),
  one('a header without its line break', 'time,value,q', 0, 'fatal not-a-time-series'),
  one('a header in capitals', `${HEAD.toUpperCase()}${FIRST}`, 0, 'fatal column-missing'),
  one('a header cut by semicolons', `${HEAD.replaceAll(',', ';')}${FIRST}`, 0, 'fatal column-missing'),
  one('a header with a column twice', `time,value,value,q\n2031-01-01T00:00Z,1,2,G\n`, 0, 'fatal wrong-format'),
  one('a header whose quote is not closed', `"time,value,q\n${FIRST}`, 0, 'fatal column-missing'),
  one('a header over two lines', `time,value,"q"\n${FIRST}`, 1),
  one('a header with a name over two lines', `"ti\nme",value,q\n${FIRST}`, 0, 'fatal column-missing'),
  one('a header of 1,001 columns', `time,value,q${',x'.repeat(998)}\n${FIRST}`, 0, 'fatal limit-exceeded'),
  one('a byte-order mark', `\ufeff${HEAD}${FIRST}`, 1),
  one('carriage returns alone', `${HEAD}${FIRST}${LAST}`.replaceAll('\n', '\r'), 2),
  one('carriage returns and line feeds', `${HEAD}${FIRST}${LAST}`.replaceAll('\n', '\r\n'), 2),
  one('two ways of ending a line in one file', `${HEAD}${FIRST.replace('\n', '\r')}${LAST}`, 2),
  one('no line break at the end', `${HEAD}${FIRST}${LAST.trim()}`, 2),
  one(
    'no line break at the end, and a code that no other row has',
    `${HEAD}${FIRST}${LAST.trim()}o`,
    1,
    'warning row-shape',
  ),
  one('a line of a million letters', `${HEAD}${FIRST}${'x'.repeat(1_000_001)}\n`, 0, 'fatal limit-exceeded'),
  one('a quote that is open to the end', `${HEAD}${FIRST}"${'\n'.repeat(300)}`, 1, 'warning row-shape'),
  one('a web page', '<!DOCTYPE html><html><body>busy</body></html>', 0, 'fatal column-missing'),
  one('XML', '<?xml version="1.0"?><a/>', 0, 'fatal column-missing'),
  one(
    'UTF-16',
    Uint8Array.from([0xff, 0xfe, ...[...HEAD].flatMap((c) => [c.charCodeAt(0), 0])]),
    0,
    'fatal file-unreadable',
  ),
  one(
    'UTF-16 without a mark',
    Uint8Array.from([...HEAD].flatMap((c) => [c.charCodeAt(0), 0])),
    0,
    'fatal file-unreadable',
  ),
  one(
    'Latin-1 that nobody announced',
    Uint8Array.from([...`${HEAD}${FIRST}caf\u00e9`].map((c) => c.charCodeAt(0))),
    0,
    'fatal file-unreadable',
  ),
  one(
    'half a character at the end',
    Uint8Array.from([...`${HEAD}${FIRST}`].map((c) => c.charCodeAt(0)).concat(0xe2, 0x82)),
    0,
    'fatal file-unreadable',
  ),
  one(
    'overlong UTF-8',
    Uint8Array.from([...`${HEAD}${FIRST}`].map((c) => c.charCodeAt(0)).concat(0xc0, 0xaf)),
    0,
    'fatal file-unreadable',
  ),
  one(
    'a surrogate in UTF-8',
    Uint8Array.from([...`${HEAD}${FIRST}`].map((c) => c.charCodeAt(0)).concat(0xed, 0xa0, 0x80)),
    0,
    'fatal file-unreadable',
  ),
  one('a ZIP archive', Uint8Array.of(0x50, 0x4b, 0x03, 0x04, 0, 0, 0, 0), 0, 'fatal file-unreadable'),
  one('a gzip archive', Uint8Array.of(0x1f, 0x8b, 8, 0, 0, 0, 0, 0), 0, 'fatal file-unreadable'),
  one('a PDF', '%PDF-1.7\n', 0, 'fatal file-unreadable'),
  one('an old spreadsheet', Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1), 0, 'fatal file-unreadable'),
  one('NULs after a crash', `${HEAD}${FIRST}${'\u0000'.repeat(500)}`, 1, 'warning row-shape'),
];

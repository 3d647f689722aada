import { CREEK_TEXT } from '../invariants.js';
import { family, type HostileCase } from './types.js';

const HEAD = 'visit,when,give_or_take_min,run,feature,saw,observer,note\n';
const FIRST = 'v1,2031-05-03T10:30,,upper,verdict,good,Ana,\n';
const LAST = 'v2,2031-05-05T10:30,,upper,verdict,low,Bo,\n';
const one = (name: string, input: string | Uint8Array, used: number, ...issues: string[]): HostileCase => ({
  name: `visits: ${name}`,
  read: 'visits',
  input,
  used,
  issues,
});
const between = (row: string) => `${HEAD}${FIRST}${row}\n${LAST}`;
const inLog = (row: string, used: number, ...issues: string[]) => ({
  read: 'visits',
  input: between(row),
  used,
  issues,
});

const NO_TIMES = [
  '',
  'yesterday',
  '2031-05-04',
  '04/05/2031 10:00',
  '2031-02-30T10:00',
  '2031-05-04T25:00',
  '1066-10-14T09:00',
  '2031-05-04T10:00+30:00',
  '=NOW()',
  '\u0000',
  '2031-05-04 10am',
];
const NO_CLASS = ['', 'god', 'verygood', '=good', '<b>good</b>', '\u202egood', 'good\u0000', 'g\u043e\u043ed', '5'];
const NO_NUMBER = ['x', '23 cm', '"23,5"', '1e999', 'NaN', '=1+1', '½', '--5', ''];
const FREE_TEXT = [
  '"=cmd()|x"',
  '<script>alert(1)</script>',
  '"a, b"',
  '"two\nlines"',
  '"a ""quote"""',
  '\u001b[2J',
  '🌊',
  '\u202e',
  '@SUM(A1)',
  '+1',
  '-1',
  'x'.repeat(20_000),
  '\u0000',
];

export const LOGS: readonly HostileCase[] = [
  ...family('visits: no time', NO_TIMES, (time) =>
    inLog(`v,${time},,upper,verdict,good,Ana,`, 2, 'warning time-unreadable'),
  ),
  ...family('visits: no class', NO_CLASS, (word) =>
    inLog(`v,2031-05-04T10:00,,upper,verdict,${word},Ana,`, 2, 'warning class-unknown'),
  ),
  ...family('visits: no number', NO_NUMBER, (text) =>
    inLog(`v,2031-05-04T10:00,,upper,staff,${text},Ana,`, 2, 'warning value-unreadable'),
  ),
  ...family('visits: no run', ['', 'uper', 'Lower run', 'constructor', '__proto__'], (run) =>
    inLog(`v,2031-05-04T10:00,,${run},verdict,good,Ana,`, 2, 'warning run-unknown'),
  ),
  ...family('visits: no feature', ['', 'leg', 'Staff reading', 'toString'], (feature) =>
    inLog(`v,2031-05-04T10:00,,upper,${feature},good,Ana,`, 2, 'warning feature-unknown'),
  ),
  ...family('visits: no give or take', ['-5', 'x', '1:30', '1e999', '"1,5"'], (text) =>
    inLog(`v,2031-05-04T10:00,${text},upper,verdict,good,Ana,`, 2, 'warning value-unreadable'),
  ),
  ...family('visits: any note', FREE_TEXT, (note) => inLog(`v,2031-05-04T10:00,,upper,verdict,good,Ana,${note}`, 3)),
  ...family('visits: any observer', FREE_TEXT, (observer) =>
    inLog(`v,2031-05-04T10:00,,upper,verdict,good,${observer},`, 3),
  ),
  one('no observer', between('v,2031-05-04T10:00,,upper,verdict,good,,'), 3, 'note observer-missing'),
  one('the same row twice', between(FIRST.trim()), 2, 'warning duplicate-row'),
  one('a cell too many', between('v,2031-05-04T10:00,,upper,verdict,good,Ana,nice, sunny'), 2, 'warning row-shape'),
  one('a row cut short', between('v,2031-05-04T10:00,,upper'), 2, 'warning row-shape'),
  one('the skipped hour', between('v,2031-03-30T01:30,,upper,verdict,good,Ana,'), 2, 'warning time-nonexistent'),
  one('the doubled hour', between('v,2031-10-26T01:30,,upper,verdict,good,Ana,'), 3, 'note time-ambiguous'),
  one('a trip of a week', between('v1,2031-05-10T10:00,,upper,ledge,wet,Ana,'), 3, 'note visit-spread'),
  one('a remark', between('# v,2031-05-04T10:00,,upper,verdict,good,Ana,'), 2),
  one('an id behind the comment mark', between('#v,2031-05-04T10:00,,upper,verdict,good,Ana,'), 2, 'warning row-shape'),
  one('a short comment', between('#nobody went, too cold'), 2),
  one('a quoted id with a comment mark', between('"#v",2031-05-04T10:00,,upper,verdict,good,Ana,'), 3),
  one(
    'a last row that was cut in its observer',
    `${HEAD}${FIRST}${FIRST.replace('v1', 'v2').slice(0, -3)}`,
    1,
    'warning row-shape',
  ),
  one('blank lines and empty rows', between('\n\n,,,,,,,\n  \n'), 2),
  one(
    'a quote that takes in a row',
    `${HEAD}v0,2031-05-01T10:00,,upper,verdict,good,Ana,"oh\n${FIRST}v3,2031-05-06T10:00,,upper,verdict,low,Bo,"\n`,
    1,
    'warning row-shape',
  ),
  one(
    'a quote that is never closed',
    `${HEAD}${FIRST}v2,2031-05-05T10:00,,upper,verdict,low,Bo,"oh\n`,
    1,
    'warning row-shape',
  ),
  one('semicolons', `${HEAD}${FIRST}`.replaceAll(',', ';'), 0, 'fatal wrong-format'),
  one('tabs', `${HEAD}${FIRST}`.replaceAll(',', '\t'), 0, 'fatal wrong-format'),
  one('a column twice', `saw,${HEAD}`, 0, 'fatal wrong-format'),
  one('a column missing', HEAD.replace('observer', 'who'), 0, 'fatal column-missing'),
  one(
    'an optional column misspelt',
    `${HEAD.replace('give_or_take_min', 'give_or_take')}${FIRST}`,
    1,
    'note column-missing',
  ),
  one('1,001 columns', `${HEAD.trim()}${',x'.repeat(993)}\n`, 0, 'fatal limit-exceeded'),
  one('50,001 rows', `${HEAD}${',,,,,,,x\n'.repeat(50_001)}`, 0, 'fatal limit-exceeded'),
  one('a line of a million letters', `${HEAD}${'x'.repeat(1_000_001)}\n`, 0, 'fatal limit-exceeded'),
  one('nothing at all', '', 0, 'fatal column-missing'),
  one('a header alone', HEAD, 0),
  one('carriage returns alone', `${HEAD}${FIRST}${LAST}`.replaceAll('\n', '\r'), 2),
  one('a byte-order mark', `\ufeff${HEAD}${FIRST}`, 1),
  one('UTF-16', Uint8Array.of(0xff, 0xfe, 0x76, 0), 0, 'fatal file-unreadable'),
  one('a byte that is no UTF-8', Uint8Array.of(0x76, 0xff), 0, 'fatal file-unreadable'),
  one('a spreadsheet', Uint8Array.of(0x50, 0x4b, 0x03, 0x04), 0, 'fatal file-unreadable'),
];

const change = (make: (json: { gauges: unknown[] } & Record<string, unknown>) => void): string => {
  const json = JSON.parse(CREEK_TEXT) as { gauges: unknown[] } & Record<string, unknown>;
  make(json);
  return JSON.stringify(json);
};
const creek = (name: string, input: string | Uint8Array, ...issues: string[]): HostileCase => ({
  name: `creek.json: ${name}`,
  read: 'creek',
  input,
  issues,
});
const set = (path: readonly (string | number)[], value: unknown) =>
  change((json) => {
    let here: Record<string | number, unknown> = json;
    for (const key of path.slice(0, -1)) here = here[key] as Record<string | number, unknown>;
    here[path.at(-1)!] = value;
  });

const PATHS = [
  '../secret',
  '/etc/hosts',
  'C:/x',
  'a/../../b',
  '~/x',
  'a\\b',
  'a//b',
  './a',
  'a/.',
  'a\u0000b',
  'a\n',
  'con.',
  'a /b',
  '..',
  '//host/x',
];

export const CREEKS: readonly HostileCase[] = [
  ...family('creek.json: a path that leaves the folder or is none', PATHS, (path) => ({
    read: 'creek',
    input: set(['gauges', 0, 'files'], [path]),
    issues: ['fatal path-outside'],
  })),
  ...family('creek.json: no id', ['', ' ', 'a b', '../x', '<b>', 'é', '-x', 'x'.repeat(65), '\u0000'], (id) => ({
    read: 'creek',
    input: set(['runs', 0, 'id'], id),
    issues: ['fatal creek-invalid'],
  })),
  ...family('creek.json: no zone', ['', 'Europe/Londn', 'EST9', '../etc', '+25:00', 'UTC\u0000'], (zone) => ({
    read: 'creek',
    input: set(['timeZone'], zone),
    issues: ['fatal creek-invalid'],
  })),
  ...family('creek.json: no delimiter', ['', '"', '\n', '5', 'e', '-', ':', ',,'], (delimiter) => ({
    read: 'creek',
    input: set(['gauges', 0, 'delimiter'], delimiter),
    issues: ['fatal creek-invalid'],
  })),
  ...family(
    'creek.json: no JSON',
    ['', ' ', '{', '{"a":1,}', "{'a':1}", '{"a":1}}', 'NaN', '\u0000', '{"a":\u0001}', '// x', '{"a":1e}'],
    (input) => ({
      read: 'creek',
      input,
      issues: ['fatal creek-invalid'],
    }),
  ),
  creek('a good one', CREEK_TEXT),
  creek('a byte-order mark', `\ufeff${CREEK_TEXT}`),
  creek('a number', '7', 'fatal creek-invalid'),
  creek('null', 'null', 'fatal creek-invalid'),
  creek('a list', '[]', 'fatal creek-invalid'),
  creek('__proto__', CREEK_TEXT.replace('{"schema"', '{"__proto__":{"polluted":1},"schema"'), 'fatal creek-invalid'),
  creek('a key twice', CREEK_TEXT.replace('{"schema":1', '{"schema":2,"schema":1'), 'fatal creek-invalid'),
  creek('a comment twice', CREEK_TEXT.replace('{"schema":1', '{"//":2,"//":1,"schema":1')),
  creek('a hundred thousand lists inside each other', `{"a":${'['.repeat(100_000)}`, 'fatal limit-exceeded'),
  creek('65 objects inside each other', `${'{"a":'.repeat(65)}1${'}'.repeat(65)}`, 'fatal limit-exceeded'),
  creek('six megabytes', ' '.repeat(6_000_000), 'fatal limit-exceeded'),
  creek(
    '51 gauges',
    change((json) => (json.gauges = Array.from({ length: 51 }, () => json.gauges[0]))),
    'fatal creek-invalid',
  ),
  creek('a unit of the other kind', set(['gauges', 0, 'unit'], 'ft'), 'fatal creek-invalid'),
  creek('infinity', CREEK_TEXT.replace('"files"', '"distanceKm":1e999,"files"'), 'fatal creek-invalid'),
  creek('a name that is markup', set(['name'], '<script>alert(1)</script>')),
  creek('a datum change that is no time', set(['gauges', 0, 'datumChanges'], ['last spring']), 'fatal creek-invalid'),
  creek(
    'approval of codes that no column holds',
    set(['gauges', 0, 'approval'], { approved: ['A'] }),
    'fatal creek-invalid',
  ),
  creek(
    'Latin-1',
    Uint8Array.from([...CREEK_TEXT.replace('Mosswater', 'B\u00e4ch')].map((c) => c.charCodeAt(0))),
    'fatal file-unreadable',
  ),
];

import { describe, expect, it } from 'vitest';
import { readCreek } from '../../src/read/readCreek.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';
import { HEADER } from './readLog.js';

type Json = ReturnType<typeof creekJson>;

const READINGS = Array.from(
  { length: 240 },
  (_, h) => `${new Date(Date.UTC(2024, 0, 1, h)).toISOString()},${(1 + (h % 7) / 10).toFixed(1)}`,
);
const GOOD = `${HEADER}\nv1,2024-01-02T10:00,,upper,verdict,good,Ada,\nv2,2024-01-03T10:00,,upper,verdict,low,Bo,\n`;

/** Every issue of the example folder with one thing changed. */
function told({
  visits = GOOD,
  gauge = `time,value\n${READINGS.join('\n')}\n`,
  json = (text: string) => text,
  change = undefined as ((json: Json) => void) | undefined,
  notNamed = [] as string[],
}) {
  const creek = creekJson();
  creek.gauges = [
    {
      ...creek.gauges[0]!,
      files: ['gauges/big.csv'],
      format: 'delimited',
      parameter: 'discharge',
      unit: 'm3/s',
      columns: { time: 'time', value: 'value' },
    } as never,
  ];
  change?.(creek);
  const input = readCreek({
    creekJson: textFile('creek.json', json(JSON.stringify(creek, null, 1))),
    visits: textFile('visits.csv', visits),
    gaugeFiles: [textFile('gauges/big.csv', gauge)],
    notNamed,
  });
  return input.issues.map((issue) => `${issue.severity} ${issueSentence(issue)}`).join('\n');
}
const row = (line: string) => ({ visits: `${GOOD}${line}\n` });
const when = (time: string) => row(`v3,${time},,upper,verdict,good,Ada,`);
const saw = (word: string) => row(`v3,2024-01-04T10:00,,upper,verdict,${word},Ada,`);
const staff = (number: string) => row(`v3,2024-01-04T10:00,,upper,staff,${number},Ada,`);
const people = (...names: string[]) => ({
  visits: `${HEADER}\n${names.map((name, i) => `v${i},2024-01-0${i + 2}T10:00,,upper,verdict,good,${name},`).join('\n')}\n`,
});
const readings = (make: (line: string, i: number) => string) => ({
  gauge: `time,value\n${READINGS.map(make).join('\n')}\n`,
});
const mapping = (more: object) => ({ change: (json: Json) => void Object.assign(json.gauges[0]!, more) });
const reversed = {
  visits: `${HEADER}\n${['too low', 'low', 'good', 'high', 'too high', 'low', 'high']
    .map(
      (word, i) =>
        `v${i},2024-01-0${i + 1}T10:00,,upper,verdict,${word},Ada,\nv${i},2024-01-0${i + 1}T10:00,,upper,ledge,${['padded', 'covered', 'trickle', 'trickle', 'dry', 'covered', 'dry'][i]},Ada,`,
    )
    .join('\n')}\n`,
};

/** What people do, and what must be said of it. */
const SLIPS: readonly (readonly [slip: string, folder: Parameters<typeof told>[0], message: RegExp])[] = [
  ['a date with points', when('04.01.2024 10:00'), /row 4, column when.*write the year first/],
  ['a date with slashes', when('1/4/2024 10:00'), /write the year first/],
  ['a part of the day', when('2024-01-04 afternoon'), /an afternoon is T15:00 with give_or_take_min 180/],
  ['after work', when('2024-01-04 after work'), /Give the word a window under partsOfDay/],
  ['a date alone', when('2024-01-04'), /A creek changes within hours/],
  ['ten in the morning, in the American way', when('2024-01-04 10am'), /2 pm is 14:00/],
  ['the number of a day in a spreadsheet', when('45295.4167'), /number of a day in a spreadsheet/],
  ['yesterday', when('yesterday'), /year-month-day, a T and the time of day/],
  ['no time', when(''), /column when: found an empty cell/],
  ['the thirtieth of February', when('2024-02-30T10:00'), /found '2024-02-30T10:00'.*months end after 28 to 31 days/],
  ['an hour that the clocks skipped', when('2024-03-31T01:30'), /the clocks of Europe\/London skipped/],
  ['a year too far', when('2105-01-04T10:00'), /1 of 3 visits before or after every record/],
  [
    'all years too far',
    { visits: GOOD.replaceAll('2024', '2034') },
    /fatal gauges\/big.csv.*visits of run 'upper' 2034/,
  ],
  ['a class misspelt', saw('goood'), /Did you mean 'good'\?/],
  ['a class of nobody', saw('brown'), /add the class in creek.json, or name the word under words/],
  [
    'two classes with a stroke',
    saw('good/high'),
    /found 'good\/high', expected one class. Used as a look at each of the two/,
  ],
  ['two classes with a dash', saw('good-high'), /a look at each of the two/],
  ['two classes with or', saw('good or high'), /a look at each of the two/],
  ['two classes that are no neighbours', saw('low/high'), /write the one that comes nearer/],
  ['no class', saw(''), /column saw: found an empty cell/],
  ['a Cyrillic o', saw('g\u043eod'), /'о' \(U\+043E\) only looks like 'o'/],
  ['a zero-width blank', saw('go\u200bod'), /a character that shows nothing \(U\+200B\)/],
  ['a mark that turns the text', saw('\u202egood'), /shows nothing \(U\+202E\)/],
  ['a number with its unit', staff('23 cm'), /Write the number alone, without its unit/],
  ['a decimal comma', staff('"23,5"'), /Write a decimal point/],
  ['a range of numbers', staff('20-25'), /Write the middle of the range/],
  ['a minus of a word processor', staff('\u22125'), /U\+2212\) only looks like '-'/],
  ['digits of full width', staff('２３'), /only looks like '2'/],
  [
    'hours where minutes belong',
    row('v3,2024-01-04T10:00,1:30,upper,verdict,good,Ada,'),
    /Write 90 for an hour and a half/,
  ],
  ['a run misspelt', row('v3,2024-01-04T10:00,,uper,verdict,good,Ada,'), /Did you mean 'upper'\?/],
  ["a run's name", row('v3,2024-01-04T10:00,,Lower run,verdict,good,Ada,'), /Write its id, 'lower'/],
  ["a feature's name", row('v3,2024-01-04T10:00,,upper,first ledge,dry,Ada,'), /Write its id, 'ledge'/],
  ['nobody', row('v3,2024-01-04T10:00,,upper,verdict,good,,'), /all rows without a name count as one observer/],
  [
    'a comma in a note',
    row('v3,2024-01-04T10:00,,upper,verdict,good,Ada,wet, cold'),
    /Put a cell that holds a comma in double quotes/,
  ],
  ['a quote left open', row('v3,2024-01-04T10:00,,upper,verdict,good,Ada,"wet'), /a quote that is not closed/],
  [
    'a quote inside a name',
    row('v3,2024-01-04T10:00,,upper,verdict,good,A"da,'),
    /column observer: found a double quote inside a cell/,
  ],
  ['a cell left out', row('v3,2024-01-04T10:00,upper,verdict,good,Ada,'), /found 7 cells, expected 8/],
  [
    'an id behind the comment mark',
    row('#3,2024-01-04T10:00,,upper,verdict,good,Ada,'),
    /a comment with the cells of a row/,
  ],
  ['the same row twice', row('v2,2024-01-03T10:00,,upper,verdict,low,Bo,'), /the same cells as row 3/],
  ['another case', people('Ada', 'Bo', 'ada'), /'Ada' \(row 2\), 'ada' \(row 4\), expected one spelling/],
  ['an initial behind', people('Ada', 'Bo', 'Ada K.'), /'Ada K.' \(row 4\)/],
  ['an accent', people('Cleo', 'Bo', 'Cl\u00e9o'), /'Cléo' \(row 4\)/],
  ['one trip as two visits', row('v9,2024-01-03T11:00,,upper,ledge,dry,Bo,'), /visits 'v2' and 'v9' of Bo within 3 h/],
  [
    'two trips as one visit',
    row('v2,2024-01-03T17:00,,upper,verdict,good,Bo,'),
    /two verdicts of Bo in visit 'v2', 7 h apart/,
  ],
  ['trips of two days as one visit', row('v2,2024-01-05T17:00,,upper,ledge,dry,Bo,'), /with sightings 55 h apart/],
  [
    'two verdicts in one minute',
    row('v2,2024-01-03T10:00,,upper,verdict,high,Bo,'),
    /Bo saw verdict in two ways within the hour \(row 3 too\)/,
  ],
  [
    'example rows',
    row('v3,2024-01-04T10:00,,upper,verdict,good,Ada,example: delete this row'),
    /example rows that nobody saw/,
  ],
  [
    'most rows lost',
    {
      visits:
        GOOD +
        GOOD.slice(HEADER.length + 1)
          .replaceAll('upper', 'uper')
          .repeat(2)
          .replaceAll('v1', 'v5'),
    },
    /of 6 rows that are not used, expected at most a fifth/,
  ],
  [
    'classes highest first',
    { change: (json: Json) => void (json.runs[0]!.classes as string[]).reverse() },
    /classes of run upper: too high, high, good, low, too low, expected the lowest first/,
  ],
  [
    'classes of a feature the wrong way round',
    reversed,
    /classes of feature ledge: .*which fall where the verdicts rise/,
  ],
  [
    'a column of another name',
    { visits: GOOD.replace('observer', 'wer') },
    /column observer.*Give the first row of the file these column names/,
  ],
  ['a column misspelt', { visits: GOOD.replace('when', 'wehn') }, /Did you mean 'when' where the file has 'wehn'/],
  [
    'semicolons',
    { visits: GOOD.replaceAll(',', ';') },
    /a table separated by semicolons.*sightstage adopt <file> <folder>/,
  ],
  ['an empty file', { visits: '' }, /fatal visits.csv row 1: found an empty file/],
  ['a header alone', { visits: `${HEADER}\n` }, /a header row and no sighting under it/],
  [
    'decimal commas between commas',
    readings((line) => line.replace(/\.(\d)$/, ',$1')),
    /a decimal comma between commas/,
  ],
  ['a unit that is none', mapping({ unit: 'feet' }), /Did you mean 'ft'\?/],
  ['a unit with a raised number', mapping({ unit: 'm³/s' }), /Did you mean 'm3\/s'\?/],
  ['a pattern in capitals', mapping({ datePattern: 'DD.MM.YYYY' }), /Did you mean 'dd.MM.yyyy'\?/],
  [
    'day-first dates without a pattern',
    readings((line) => line.replace(/^(\d+)-(\d+)-(\d+)T(\d+:\d+)[^,]*/, '$3.$2.$1 $4')),
    /set datePattern/,
  ],
  ['a column of the gauge misspelt', mapping({ columns: { time: 'time', value: 'vlaue' } }), /Did you mean 'value'\?/],
  ['a broken download', { gauge: `time,value\n${READINGS.join('\n').slice(0, -1)}` }, /a last row without a line end/],
  [
    'a key twice',
    { json: (text: string) => text.replace('"schema": 1,', '"schema": 1,\n "name": "Two",') },
    /creek.json row 4, column name: found the key 'name' of line 3 once more/,
  ],
  [
    'a comma too many',
    { json: (text: string) => text.replace('"schema": 1,', '"schema": 1,,') },
    /fatal creek.json row 2: /,
  ],
  [
    'a file that nobody names',
    { notNamed: ['gauges/branch.csv'] },
    /gauges\/branch.csv: found a file that no gauge of creek.json names/,
  ],
];

describe('slips of real logs, and what is said of each', () => {
  it('are at least sixty; the folder without any has nothing to say', () => {
    expect(SLIPS.length).toBeGreaterThanOrEqual(60);
    expect(told({})).toBe('');
  });
  it.each(SLIPS)('%s', (_, folder, message) => expect(told(folder)).toMatch(message));

  it('words match whatever way their letters are composed', () => {
    const change = (json: Json) => void ((json.runs[0]!.classes as string[])[2] = 'g\u00fct');
    expect(told({ change, visits: GOOD.replace('good', 'gu\u0308t') })).toBe('');
  });
});

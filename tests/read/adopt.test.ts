import { describe, expect, it } from 'vitest';
import { guessGauge, isRecord } from '../../src/read/guess/guessGauge.js';
import { guessVisits } from '../../src/read/guess/guessVisits.js';
import { readSheet, type Sheet } from '../../src/read/guess/sheet.js';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readLogs } from '../../src/read/readVisits.js';
import { issueSentence } from '../../src/series/issue.js';
import type { Creek, TripLog } from '../../src/series/creek.js';
import { creekJson, textFile } from './creekExample.js';
import { utc } from './readLog.js';

const HEAD = 'Club log\n;;;;;;;\nDatum;Uhrzeit;Wer;Run;Level;First ledge;Staff (cm);Remarks';
const ROWS = [
  '13.06.2015;14:30;Ada;upper;good;covered;45,5;warm, sunny',
  '14.06.2015;morning;ada;Uper;ok;trickle;;',
  '02.07.2015;after work;Ada K.;upper;good/high;-;61,0 cm;',
  '03.07.2015;9.15;Cléo;upper;too high;padded;;',
  '04.07.2015;2 pm;Cleo;upper;low;?;20;',
  '05.07.2015;;Bo;upper;hi;covered;;',
  '06.07.2015;14:00-16:00;Bo;upper;low/high;dry;;',
];
const latin1 = (text: string) => ({ name: 'logs/club.csv', bytes: Uint8Array.from(Buffer.from(text, 'latin1')) });
const sheetOf = (text: string) => readSheet(latin1(text)) as Sheet;

/** The example creek with the guessed mapping, and what its sheet then reads as. */
function adopted(text: string, json = creekJson()) {
  const runs = json.runs as unknown as Creek['runs'];
  const guess = guessVisits(sheetOf(text), { runs });
  const { people, words, partsOfDay } = guess;
  const log: TripLog = { file: 'logs/club.csv', ...guess.log };
  const whole = { ...json, runs: guess.runs, people, words, partsOfDay, tripLogs: [log] };
  const { creek, issues } = parseCreek(textFile('creek.json', JSON.stringify(whole)));
  expect(issues).toEqual([]);
  return { guess, read: readLogs(undefined, [latin1(text)], creek!) };
}

describe('a spreadsheet of visits, for a creek that is described', () => {
  const { guess, read } = adopted([HEAD, ...ROWS].join('\r\n') + '\r\n');
  it('its columns, pattern, marks and encoding are guessed', () => {
    expect(guess.log).toEqual({
      columns: { date: 'Datum', clock: 'Uhrzeit', run: 'Run', observer: 'Wer', note: 'Remarks' },
      features: { Level: 'verdict', 'First ledge': 'ledge', 'Staff (cm)': 'staff' },
      delimiter: ';',
      decimalMark: ',',
      encoding: 'latin1',
      skipLines: 2,
      datePattern: 'dd.MM.yyyy',
      missing: ['-', '?'],
    });
    expect(guess.people).toEqual({ 'Ada K.': ['Ada', 'ada'], Cléo: ['Cleo'] });
    expect(guess.words).toEqual({ upper: ['Uper'], good: ['ok'], high: ['hi'] });
    expect(guess.partsOfDay).toEqual({ morning: '08:00-12:00', 'after work': '16:00-20:00', '': '09:00-18:00' });
  });
  it('every cell is read, or listed under its own column', () => {
    expect(read.issues.filter(({ severity }) => severity === 'warning').map(issueSentence)).toEqual([
      "logs/club.csv row 10, column Level: found 'low/high', expected a class of the verdict (too low < low < good < high < too high). Two classes are read as one of either where they are neighbours: write the one that comes nearer.",
    ]);
    expect(read.sightingRows).toBe(15);
    expect(read.sightingsUsed).toBe(14);
  });
  it('times, people, numbers and two neighbouring classes mean what the row says', () => {
    const third = read.visits.find(({ id }) => id === 'club row 6')!;
    expect(
      third.sightings.map(({ feature, classIndex, value, observer }) => [feature, classIndex, value, observer]),
    ).toEqual([
      ['staff', -1, 61, 'Ada K.'],
      ['verdict', 2, NaN, 'Ada K.'],
      ['verdict', 3, NaN, 'Ada K.'],
    ]);
    // July in London is an hour ahead of UTC: 16:00 to 20:00 is 17:00Z ± 2 h.
    expect([utc(third.timeMs), third.sightings[0]!.giveOrTakeMin]).toEqual(['2015-07-02T17:00', 120]);
    const at = (row: number) => utc(read.visits.find(({ id }) => id === `club row ${row}`)!.timeMs);
    expect([at(4), at(7), at(8), at(10)]).toEqual([
      '2015-06-13T13:30',
      '2015-07-03T08:15',
      '2015-07-04T13:00',
      '2015-07-06T14:00',
    ]);
    expect(read.visits.find(({ id }) => id === 'club row 4')!.sightings[0]!.note).toBe('warm, sunny');
  });
});

describe('dates are judged over the whole column', () => {
  const dates = (...cells: string[]) =>
    guessVisits(sheetOf(`when,who,verdict\n${cells.map((cell) => `${cell},Ada,good\n`).join('')}`), { runs: [] });
  it('one day above twelve settles day and month', () => {
    expect(dates('05/06/2015', '13/06/2015').log.datePattern).toBe('dd/MM/yyyy');
    expect(dates('05/06/2015', '06/13/2015').log.datePattern).toBe('MM/dd/yyyy');
    expect(dates('05.06.15', '13.06.15').log.datePattern).toBe('dd.MM.yy');
    expect(dates('2015-06-05', '2015-06-13').log.datePattern).toBeUndefined();
  });
  it('without one both are named', () => {
    expect(dates('05/06/2015', '07/06/2015').asks.join('\n')).toContain(
      'day and month: MM/dd/yyyy reads every date as well',
    );
  });
});

describe('a creek that is not described yet', () => {
  it('gets its runs, features and classes from the sheet, lowest first', () => {
    const words = ['low', 'good', 'high'];
    const rows = Array.from(
      { length: 12 },
      (_, i) =>
        `${10 + i}.05.2020;12:00;Ada;${i % 2 ? 'Mill run' : 'mill run'};${words[i % 3]};${['rock dry', 'rock wet', 'rock gone'][i % 3]}`,
    );
    const { runs } = guessVisits(sheetOf(`date;time;who;section;level;boulder\n${rows.join('\n')}\n`), { runs: [] });
    expect(runs).toEqual([
      {
        id: 'mill-run',
        name: 'mill run',
        classes: words,
        features: [{ id: 'boulder', name: 'boulder', classes: ['rock dry', 'rock wet', 'rock gone'] }],
      },
    ]);
  });
});

describe("a gauge's download", () => {
  const readings = Array.from(
    { length: 60 },
    (_, h) =>
      `${`0${1 + Math.floor(h / 24)}`.slice(-2)}.05.2020 ${`0${h % 24}`.slice(-2)}:00;${h % 20 === 7 ? '-999' : `${2 + (h % 7)},5`};G`,
  );
  const sheet = sheetOf(`Station;Big river;\nUTC;;\nZeit;Abfluss [m³/s];Flag\n${readings.join('\n')}\n`);
  it('is told from a log by its even steps', () => {
    expect(isRecord(sheet)).toBe(true);
    expect(isRecord(sheetOf([HEAD, ...ROWS, ...ROWS, ...ROWS].join('\n')))).toBe(false);
  });
  it('shows its columns, unit, zone and missing tokens', () => {
    expect(guessGauge(sheet).mapping).toEqual({
      format: 'delimited',
      parameter: 'discharge',
      unit: 'm3/s',
      columns: { time: 'Zeit', value: 'Abfluss [m³/s]', quality: 'Flag' },
      delimiter: ';',
      decimalMark: ',',
      encoding: 'latin1',
      skipLines: 2,
      datePattern: 'dd.MM.yyyy HH:mm',
      missing: ['-999'],
      timeZone: 'UTC',
    });
  });
  it('asks for a unit that nobody can see', () => {
    expect(
      guessGauge(
        sheetOf(
          `time,value\n${readings.map((line) => line.replace(/;G$/, '').replace(',', '.').replace(';', ',')).join('\n')}\n`,
        ),
      ).asks[0],
    ).toBe('the unit of the readings: give --unit');
  });
});

describe('a mapping that the file or the creek does not fit', () => {
  const parse = (log: object) =>
    parseCreek(
      textFile('creek.json', JSON.stringify({ ...creekJson(), tripLogs: [{ file: 'logs/a.csv', ...log }] })),
    ).issues.map(issueSentence);
  it.each([
    [
      { columns: { time: 't' }, features: { L: 'verdict' } },
      /either run or columns.run, |expected either run or columns.run/,
    ],
    [{ columns: { time: 't', run: 'r' } }, /expected either features \(a row is a visit\)/],
    [{ columns: { run: 'r' }, features: { L: 'verdict' } }, /expected either time, or date/],
    [{ columns: { time: 't' }, run: 'uper', features: { L: 'verdict' } }, /Did you mean 'upper'\?/],
    [{ columns: { time: 't' }, run: 'upper', features: { L: 'ledg' } }, /Did you mean 'ledge'\?/],
    [
      { columns: { time: 't' }, run: 'upper', features: { L: 'ledge' }, datePattern: 'DD.MM.YYYY' },
      /Did you mean 'dd.MM.yyyy'\?/,
    ],
  ])('%j', (log, message) => expect(parse(log).join('\n')).toMatch(message));

  it('a column that the file lacks is fatal, with the nearest one named', () => {
    const log = {
      file: 'logs/club.csv',
      columns: { date: 'Datum', observer: 'Wre' },
      run: 'upper',
      features: { Level: 'verdict' },
    };
    const { creek } = parseCreek(
      textFile('creek.json', JSON.stringify({ ...creekJson(), tripLogs: [{ ...log, delimiter: ';' }] })),
    );
    const { issues } = readLogs(
      undefined,
      [textFile('logs/club.csv', 'Datum;Wer;Level\n01.02.2020;Ada;good\n')],
      creek!,
    );
    expect(issues.map(issueSentence)).toEqual([
      "logs/club.csv row 1, column Wre: found columns 'Datum', 'Wer', 'Level', expected a column named 'Wre'. Did you mean 'Wer'?",
    ]);
  });
});

import { describe, expect, it } from 'vitest';
import { parseCreek } from '../../src/read/parseCreek.js';
import { readVisits } from '../../src/read/readVisits.js';
import { issueSentence } from '../../src/series/issue.js';
import { creekJson, textFile } from './creekExample.js';
import { HEADER, read, rows, sentences, utc } from './readLog.js';

describe('rows that are fine', () => {
  it('become visits with their sightings, in time order', () => {
    const result = read(
      rows(
        'v2,2024-07-02T10:00,15,upper,verdict,good,Ada,',
        'v1,2024-07-01T10:00,,upper,ledge,padded,Bo,"nice, and wet"',
        'v1,2024-07-01T11:00Z,30,upper,staff,-3.5,Bo,',
      ),
    );
    expect(result.issues).toEqual([]);
    expect(result.visits.map((visit) => [visit.id, visit.run, utc(visit.timeMs)])).toEqual([
      ['v1', 'upper', '2024-07-01T10:00'],
      ['v2', 'upper', '2024-07-02T09:00'],
    ]);
    expect(result.visits[0]!.sightings).toEqual([
      {
        row: 3,
        timeMs: Date.UTC(2024, 6, 1, 9),
        giveOrTakeMin: 0,
        run: 'upper',
        feature: 'ledge',
        classIndex: 3,
        value: NaN,
        observer: 'Bo',
        note: 'nice, and wet',
      },
      {
        row: 4,
        timeMs: Date.UTC(2024, 6, 1, 11),
        giveOrTakeMin: 30,
        run: 'upper',
        feature: 'staff',
        classIndex: -1,
        value: -3.5,
        observer: 'Bo',
        note: '',
      },
    ]);
    expect(Object.isFrozen(result.visits) && Object.isFrozen(result.visits[0]!.sightings[0])).toBe(true);
  });

  it('a visit takes the time of its verdict, where it has one', () => {
    const { visits } = read(
      rows('v1,2024-01-01T10:00,,upper,ledge,dry,Ada,', 'v1,2024-01-01T13:00,,upper,verdict,low,Ada,'),
    );
    expect(utc(visits[0]!.timeMs)).toBe('2024-01-01T13:00');
  });

  it('compares words trimmed, without case, with single blanks', () => {
    const { visits, issues } = read(
      rows('v1,2024-01-01T10:00,,UPPER ,Verdict, Too   LOW,Ada,', 'v1,2024-01-01T10:00,,upper,Ledge,DRY,Ada,'),
    );
    expect(issues).toEqual([]);
    expect(visits[0]!.sightings.map(({ run, feature, classIndex }) => [run, feature, classIndex])).toEqual([
      ['upper', 'verdict', 0],
      ['upper', 'ledge', 0],
    ]);
  });

  it('a byte-order mark, CRLF, old Mac line ends, quoted line breaks, comments and blank lines keep the line numbers right', () => {
    const text = [
      `\ufeff# log of the upper run`,
      HEADER,
      'v1,2024-01-01T10:00,,upper,verdict,good,Ada,"two',
      'lines, and a ""quote"""',
      '',
      '# 2024-01-02: nobody went',
      ' ,,,, ,,,',
      'v2,2024-01-03T10:00,,upper,verdict,goood,Ada,',
    ];
    for (const end of ['\n', '\r\n', '\r']) {
      const result = read(text.join(end));
      expect(result.sightingRows).toBe(2);
      expect(result.visits[0]!.sightings[0]).toMatchObject({ row: 3, note: 'two\nlines, and a "quote"' });
      expect(result.issues.map((issue) => issue.row)).toEqual([8]);
    }
  });

  it('columns in any order and case, columns of one’s own, optional ones left out, short rows', () => {
    const text =
      'SAW, Observer ,when,Feature,run,weather\ngood,Ada,2024-01-01T10:00,verdict,upper\nlow,Ada,2024-01-02T10:00,verdict,upper,rain\nlow,Ada,2024-01-03T10:00,verdict,upper\n';
    const { visits, issues } = read(text);
    expect(issues).toEqual([]);
    expect(visits.map((visit) => visit.id)).toEqual([
      'upper 2024-01-01 Ada',
      'upper 2024-01-02 Ada',
      'upper 2024-01-03 Ada',
    ]);
  });

  it('a quote inside an unquoted cell is a letter', () => {
    const { visits, issues } = read(rows('v1,2024-01-01T10:00,,upper,verdict,good,Ada,the 6" rock'));
    expect(issues).toEqual([]);
    expect(visits[0]!.sightings[0]!.note).toBe('the 6" rock');
  });
});

describe('rows that are not used say why, where, and what to do', () => {
  it.each([
    [
      'v,2024-01-01T10:00,,upper,ledge,padde,Ada,',
      "warning visits.csv row 2, column saw: found 'padde', expected a class of feature ledge (dry < trickle < covered < padded). Did you mean 'padded'?",
    ],
    [
      'v,2024-01-01T10:00,,upper,verdict,brown,Ada,',
      "warning visits.csv row 2, column saw: found 'brown', expected a class of the verdict (too low < low < good < high < too high). Fix the row, add the class in creek.json, or name the word under words there.",
    ],
    [
      'v,2024-01-01T10:00,,upper,verdict,,Ada,',
      'warning visits.csv row 2, column saw: found an empty cell, expected a class of the verdict (too low < low < good < high < too high). Write what was seen, or delete the row.',
    ],
    [
      'v,2024-01-01T10:00,,upper,staff,23 cm,Ada,',
      "warning visits.csv row 2, column saw: found '23 cm', expected a number in cm, as feature staff is read. Write the number alone, without its unit.",
    ],
    [
      'v,2024-01-01T10:00,,upper,staff,"23,5",Ada,',
      "warning visits.csv row 2, column saw: found '23,5', expected a number in cm, as feature staff is read. Write a decimal point.",
    ],
    [
      'v,2024-01-01T10:00,,uper,verdict,good,Ada,',
      "warning visits.csv row 2, column run: found 'uper', expected the id of a run (upper, lower). Did you mean 'upper'?",
    ],
    [
      'v,2024-01-01T10:00,,Lower run,verdict,good,Ada,',
      "warning visits.csv row 2, column run: found 'Lower run', expected the id of a run (upper, lower). Write its id, 'lower'.",
    ],
    [
      'v,2024-01-01T10:00,,upper,first ledge,dry,Ada,',
      "warning visits.csv row 2, column feature: found 'first ledge', expected the id of a feature of run upper (verdict, ledge, staff). Write its id, 'ledge'.",
    ],
    [
      'v,2024-01-01T10:00,,upper,pier,under,Ada,',
      "warning visits.csv row 2, column feature: found 'pier', expected the id of a feature of run upper (verdict, ledge, staff). Fix the row, or add the feature in creek.json.",
    ],
    [
      'v,28/04/2024 10:00,,upper,verdict,good,Ada,',
      "warning visits.csv row 2, column when: found '28/04/2024 10:00', expected a date and a time of day in ISO 8601, such as 2024-04-28T14:30 or 2024-04-28T14:30-07:00. Day and month cannot be told apart here: write the year first, then month and day.",
    ],
    [
      'v,2024-04-28,,upper,verdict,good,Ada,',
      "warning visits.csv row 2, column when: found '2024-04-28', expected a date and a time of day in ISO 8601, such as 2024-04-28T14:30 or 2024-04-28T14:30-07:00. A creek changes within hours. Where only part of the day is known, write its middle and half its length: an afternoon is T15:00 with give_or_take_min 180.",
    ],
    [
      'v,2024-03-31T01:30,,upper,verdict,good,Ada,',
      "warning visits.csv row 2, column when: found '2024-03-31T01:30', in the hour that the clocks of Europe/London skipped, expected a time that the clocks showed. Correct the time, or write it with its offset.",
    ],
    [
      'v,2024-01-01T10:00,-5,upper,verdict,good,Ada,',
      "warning visits.csv row 2, column give_or_take_min: found '-5', expected a number of minutes, 0 or more, or an empty cell. Write 90 for an hour and a half either way.",
    ],
    [
      'v,2024-01-01T10:00,1:30,upper,verdict,good,Ada,',
      "warning visits.csv row 2, column give_or_take_min: found '1:30', expected a number of minutes, 0 or more, or an empty cell. Write 90 for an hour and a half either way.",
    ],
    [
      'v,2024-01-01T10:00,,upper,verdict,good,Ada,nice, sunny',
      'warning visits.csv row 2: found 9 cells, expected 8, as in the first row. Put a cell that holds a comma in double quotes.',
    ],
  ])('%s', (row, sentence) => {
    const result = read(rows(row));
    expect(sentences(result)).toEqual([sentence]);
    expect(result.visits).toEqual([]);
  });

  it('says everything that is wrong with one row', () => {
    const { issues } = read(rows('v,yesterday,x,upper,verdict,gud,,'));
    expect(issues.map(({ code, column, row }) => [code, column, row])).toEqual([
      ['value-unreadable', 'give_or_take_min', 2],
      ['time-unreadable', 'when', 2],
      ['class-unknown', 'saw', 2],
    ]);
  });

  it('an identical row is used once', () => {
    const result = read(
      rows('v1,2024-01-01T10:00,,upper,verdict,good,Ada,', 'v1, 2024-01-01T10:00,,upper,verdict,good,Ada,'),
    );
    expect(sentences(result)).toEqual([
      'warning visits.csv row 3: found the same cells as row 2, expected each sighting once. It is used once. Delete one of the two rows.',
    ]);
    expect(result.sightingsUsed).toBe(1);
  });

  it.each([
    ['"oh', 'a quote that is not closed'],
    ['"oh" dear', 'text after a closing quote'],
  ])('a quote that takes too much costs its own row: %s', (note, found) => {
    const result = read(
      rows(
        'v1,2024-01-01T10:00,,upper,verdict,good,Ada,',
        `v2,2024-01-02T10:00,,upper,verdict,good,Ada,${note}`,
        'v3,2024-01-03T10:00,,upper,verdict,good,Ada,',
      ),
    );
    expect(sentences(result)).toEqual([
      `warning visits.csv row 3: found ${found}, expected a double quote that is closed in its row. Close the quote, or write a quote inside a cell twice. The lines after it are read as rows of their own.`,
    ]);
    expect(result.visits.map(({ id }) => id)).toEqual(['v1', 'v3']);
  });

  it('a quote that takes in rows names the line where it is closed, and takes none of them', () => {
    const result = read(
      rows(
        'v1,2024-01-01T10:00,,upper,verdict,good,Ada,"oh',
        'v2,2024-01-02T10:00,,upper,verdict,good,Ada,',
        'v3,2024-01-03T10:00,,upper,verdict,good,Ada,"',
        'v4,2024-01-04T10:00,,upper,verdict,good,Ada,',
      ),
    );
    expect(result.issues.map(({ row, found }) => `${row}: ${found}`)).toEqual([
      '2: a quote opened here and closed on line 4, with whole rows inside',
      '4: a quote that is not closed',
    ]);
    expect(result.visits.map(({ id }) => id)).toEqual(['v2', 'v4']);
  });

  it('rows that differ in one cell are two sightings', () => {
    expect(
      read(rows('v1,2024-01-01T10:00,,upper,verdict,good,Ada,', 'v1,2024-01-01T10:00,,upper,verdict,good,Bo,'))
        .sightingsUsed,
    ).toBe(2);
  });
});

describe('files that cannot be read', () => {
  const fatal = (text: string) => {
    const result = read(text);
    expect(result.visits).toEqual([]);
    expect(result.issues.every((issue) => issue.severity === 'fatal')).toBe(true);
    return result.issues.map(issueSentence);
  };
  const EXPECTED =
    'the columns visit, when, give_or_take_min, run, feature, saw, observer, note (visit, give_or_take_min, note may be left out)';

  it('semicolons or tabs between the cells', () => {
    expect(fatal('when;run;feature;saw;observer\n2024-01-01T10:00;upper;verdict;good;Ada')).toEqual([
      'visits.csv row 1: found a table separated by semicolons, expected commas between the cells. Save it as CSV with commas and decimal points, or keep it as it is beside visits.csv: sightstage adopt <file> <folder>.',
    ]);
    expect(fatal('when\trun\tfeature\tsaw\tobserver')).toEqual([
      'visits.csv row 1: found a table separated by tabs, expected commas between the cells. Save it as CSV with commas and decimal points, or keep it as it is beside visits.csv: sightstage adopt <file> <folder>.',
    ]);
  });
  it('columns missing', () => {
    expect(fatal('wehn,run,feature,saw,note\n')).toEqual([
      `visits.csv row 1, column when: found columns wehn, run, feature, saw, note, expected ${EXPECTED}. Did you mean 'when' where the file has 'wehn'?`,
      `visits.csv row 1, column observer: found columns wehn, run, feature, saw, note, expected ${EXPECTED}. Give the first row of the file these column names, or keep it as it is: sightstage adopt <file> <folder>.`,
    ]);
    expect(fatal('')).toEqual([
      `visits.csv row 1: found an empty file, expected ${EXPECTED}. Begin with a row of these names, then one row a sighting.`,
    ]);
  });
  it('a column twice', () => {
    expect(fatal(`${HEADER},Saw\n`)).toEqual([
      `visits.csv row 1, column saw: found two columns named 'saw', expected ${EXPECTED}. Rename or delete one.`,
    ]);
  });
  it('bytes that are not UTF-8', () => {
    const { creek } = parseCreek(textFile('creek.json', JSON.stringify(creekJson())));
    const result = readVisits({ name: 'visits.csv', bytes: Uint8Array.from([0x61, 0xfc, 0x62]) }, creek!);
    expect(result.issues).toMatchObject([
      { code: 'file-unreadable', severity: 'fatal', found: 'bytes that are not UTF-8' },
    ]);
  });
  it('a misspelt optional column is noted, as its cells would be lost without a word', () => {
    const result = read('when,give_or_take,run,feature,saw,observer\n2024-01-01T10:00,90,upper,verdict,good,Ada');
    expect(sentences(result)).toEqual([
      `note visits.csv row 1, column give_or_take: found a column 'give_or_take' that is not read, expected ${EXPECTED}. Did you mean 'give_or_take_min'?`,
    ]);
  });
  it('a header and nothing under it is an empty log, not an error', () => {
    expect(read(HEADER)).toEqual({ visits: [], issues: [], sightingRows: 0, sightingsUsed: 0, comments: 0 });
  });
});
